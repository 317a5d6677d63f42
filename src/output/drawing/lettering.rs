//! How wide text comes out, so that it can be placed, shortened and wrapped.
//!
//! The drawings are lettered in the sans serif face that every PDF reader carries (Helvetica); SVG
//! viewers are asked for it or one of the same widths (Arial, Liberation Sans).

/// Height of the capitals over the size of the face. From memory, Adobe's font metrics for
/// Helvetica: cap height 718 of 1000.
const CAPITALS: f64 = 0.718;

/// The size of the face, mm, for capitals of this height.
pub fn size(height: f64) -> f64 {
    height / CAPITALS
}

/// Widths of the characters from space to tilde in thousandths of the face's size. From memory,
/// Adobe's font metrics for Helvetica.
const WIDTHS: [u16; 95] = [
    278, 278, 355, 556, 556, 889, 667, 191, 333, 333, 389, 584, 278, 333, 278, 278, 556, 556, 556, 556, 556,
    556, 556, 556, 556, 556, 278, 278, 584, 584, 584, 556, 1015, 667, 667, 722, 722, 667, 611, 778, 722, 278,
    500, 667, 556, 833, 722, 778, 667, 778, 722, 667, 611, 722, 667, 944, 667, 667, 611, 278, 278, 278, 469,
    556, 333, 556, 556, 500, 556, 556, 278, 556, 556, 222, 222, 500, 222, 833, 556, 556, 556, 556, 333, 500,
    278, 556, 500, 722, 500, 500, 500, 334, 260, 334, 584,
];

/// The width of a text with capitals of this height, mm. Characters beyond the table count as a
/// wide letter, so that what is measured is not too little.
pub fn width(text: &str, height: f64) -> f64 {
    let thousandths: u32 = text
        .chars()
        .map(|c| match c {
            ' '..='~' => u32::from(WIDTHS[c as usize - 32]),
            '°' => 400,
            '–' | 'µ' => 556,
            _ => 778,
        })
        .sum();
    f64::from(thousandths) / 1000.0 * size(height)
}

/// The text broken at spaces into lines no wider than `room`; a word wider than that is broken
/// anywhere. At most `lines` lines, the last ending in an ellipsis when some was left out.
pub fn wrapped(text: &str, height: f64, room: f64, lines: usize) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    let mut line = String::new();
    for word in text.split_whitespace() {
        let joined = if line.is_empty() { word.to_string() } else { format!("{line} {word}") };
        if width(&joined, height) <= room {
            line = joined;
            continue;
        }
        if !line.is_empty() {
            out.push(std::mem::take(&mut line));
        }
        for c in word.chars() {
            if width(&format!("{line}{c}"), height) > room && !line.is_empty() {
                out.push(std::mem::take(&mut line));
            }
            line.push(c);
        }
    }
    if !line.is_empty() {
        out.push(line);
    }
    if out.len() > lines {
        out.truncate(lines);
        if let Some(last) = out.last_mut() {
            while !last.is_empty() && width(&format!("{last} ..."), height) > room {
                last.pop();
            }
            last.push_str(" ...");
        }
    }
    out
}

/// As many whole sentences of a text as stand in so many lines, and of the first as much as does.
pub fn sentences(text: &str, height: f64, room: f64, most: usize) -> Vec<String> {
    let ends = text.match_indices(". ").map(|(at, _)| at + 1).chain([text.len()]);
    let whole = ends.filter_map(|end| text.get(..end)).map(|start| wrapped(start, height, room, usize::MAX));
    match whole.take_while(|lines| lines.len() <= most).last() {
        Some(lines) => lines,
        None => wrapped(text, height, room, most),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_too_long_for_its_lines_ends_with_a_whole_sentence() {
        let text =
            "Closes the hole. It passes four cables and gives each a place. Nobody said what runs in them.";
        let lines = sentences(text, 2.0, 40.0, 2);
        assert!(lines.len() == 2 && lines.last().is_some_and(|line| line.ends_with('.')), "{lines:?}");
        assert!(
            lines.concat().starts_with("Closes the hole.") && !lines.concat().contains("Nobody"),
            "{lines:?}"
        );
        let one = sentences("A sentence that goes on and on and on and on", 2.0, 20.0, 1);
        assert!(one.len() == 1 && one[0].ends_with("..."), "{one:?}");
    }

    #[test]
    fn no_wrapped_line_is_wider_than_its_room_and_no_word_is_lost() {
        let text = "Press force at the end of the stroke: likely 4.2 kN, between 2.1 and 6.8 kN; averyveryverylongwordwithoutanyspace indeed";
        for room in [18.0, 30.0, 55.0] {
            let lines = wrapped(text, 2.5, room, 99);
            assert!(lines.iter().all(|line| width(line, 2.5) <= room), "{lines:?}");
            let squeezed = |s: &str| s.split_whitespace().collect::<String>();
            assert_eq!(squeezed(&lines.concat()), squeezed(text));
        }
    }

    #[test]
    fn what_is_left_out_is_marked() {
        let lines = wrapped("one two three four five six", 2.5, 20.0, 1);
        assert!(lines.len() == 1 && lines[0].ends_with("...") && width(&lines[0], 2.5) <= 20.0, "{lines:?}");
    }

    #[test]
    fn a_line_of_digits_has_the_width_of_its_face() {
        assert!((width("0123456789", 2.5) - 10.0 * 0.556 * 2.5 / 0.718).abs() < 1e-9);
    }
}
