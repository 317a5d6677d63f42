//! Text that came from outside: job files, arguments, presets, paths.
//!
//! Such a text may hold characters that command a terminal, turn the order of letters round, cannot
//! stand in XML or cannot be seen. They are refused where a request is read ([`refuse_unfit`]) and written
//! out as what they are (`\u{1b}`) where a text is shown all the same, in an error or a file
//! ([`display`], [`lines`], [`markup`]).

use crate::error::{Error, Kind, Result};
use std::borrow::Cow;
use std::fs::File;
use std::io::Read;
use std::path::Path;
use unicode_normalization::UnicodeNormalization;

/// Whether a character may not be handed to a terminal or a file: controls (Unicode category Cc), marks
/// and overrides of writing direction (Unicode Standard Annex 9), separators of lines, what has neither
/// width nor ink (joiners of letters excepted, which some scripts need), and noncharacters.
pub fn is_unfit(c: char) -> bool {
    c.is_control()
        || matches!(c,
            '\u{61c}' | '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}'
            | '\u{2028}' | '\u{2029}'
            | '\u{180e}' | '\u{200b}' | '\u{2060}'..='\u{2065}' | '\u{206a}'..='\u{206f}' | '\u{feff}'
            | '\u{fff9}'..='\u{fffb}' | '\u{e0000}'..='\u{e007f}'
            | '\u{fdd0}'..='\u{fdef}')
        || u32::from(c) & 0xfffe == 0xfffe
}

/// A text on one line, as it can be shown to anybody: what is unfit is written out.
pub fn display(text: &str) -> Cow<'_, str> {
    written_out(text, is_unfit)
}

/// The same for a text of several lines.
pub fn lines(text: &str) -> Cow<'_, str> {
    written_out(text, |c| is_unfit(c) && c != '\n')
}

/// A text on one line as XML and HTML carry it, within an element or a quoted attribute.
pub fn markup(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in display(text).chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            c => out.push(c),
        }
    }
    out
}

/// A path as it can be shown.
pub fn path(path: &Path) -> String {
    display(&path.to_string_lossy()).into_owned()
}

/// A text file's content, of at most `longest` bytes; `what` names it in the error, `step` is what to do.
pub fn read(path: &Path, what: &str, longest: u64, step: &str) -> Result<String> {
    let fail = |says: String| Error::new(Kind::File, format!("{what} '{}' {says}.", self::path(path)), step);
    let file = File::open(path).map_err(|e| fail(format!("cannot be read: {e}")))?;
    let mut bytes = Vec::new();
    file.take(longest + 1).read_to_end(&mut bytes).map_err(|e| fail(format!("cannot be read: {e}")))?;
    if bytes.len() as u64 > longest {
        return Err(fail(format!("is longer than {} kB", longest / 1024)));
    }
    decoded(bytes).ok_or_else(|| fail("is no text in UTF-8".into()))
}

/// Text in UTF-8, or in UTF-16 with its mark in front, as some consoles write what is led into a file.
fn decoded(bytes: Vec<u8>) -> Option<String> {
    let units = |unit: fn([u8; 2]) -> u16| {
        bytes[2..].chunks(2).map(move |pair| unit([pair[0], *pair.get(1).unwrap_or(&0)]))
    };
    match bytes.get(..2) {
        Some([0xff, 0xfe]) => String::from_utf16(&units(u16::from_le_bytes).collect::<Vec<u16>>()).ok(),
        Some([0xfe, 0xff]) => String::from_utf16(&units(u16::from_be_bytes).collect::<Vec<u16>>()).ok(),
        _ => String::from_utf8(bytes).ok(),
    }
}

fn written_out(text: &str, unfit: impl Fn(char) -> bool + Copy) -> Cow<'_, str> {
    if !text.contains(unfit) {
        return Cow::Borrowed(text);
    }
    let mut out = String::with_capacity(text.len() + 8);
    for c in text.chars() {
        match unfit(c) {
            true => out.extend(c.escape_unicode()),
            false => out.push(c),
        }
    }
    Cow::Owned(out)
}

/// Refuses a text with an unfit character in it, or longer than any that means something; `what` names it
/// in the error.
pub fn refuse_unfit(what: &str, text: &str) -> Result<()> {
    if text.len() > LONGEST {
        return Err(Error::request(
            format!("{what} is {} bytes long; a text may have {LONGEST}.", text.len()),
            "Shorten it.",
        ));
    }
    match text.chars().position(is_unfit) {
        None => Ok(()),
        Some(at) => Err(Error::request(
            format!("{what} holds a character that cannot be shown: '{}'.", excerpt(text, at)),
            "Type the text anew, on one line and without it.",
        )),
    }
}

/// The longest text a request may hold, bytes: room for a plate of a thousand cables.
pub const LONGEST: usize = 20_000;

/// The letters about a place in a text.
fn excerpt(text: &str, at: usize) -> String {
    const ABOUT: usize = 20;
    let some: String = text.chars().skip(at.saturating_sub(ABOUT)).take(2 * ABOUT).collect();
    display(&some).into_owned()
}

/// Checks a name that becomes a file name on every system in use: letters, digits, space, `-`, `_`, `.`; no
/// leading dot; at most 100 bytes; none that a system keeps for a device or that looks like no name.
pub fn file_name(name: &str) -> Result<()> {
    let sound = name.len() <= 100
        && !name.starts_with(['.', ' ', '-'])
        && !name.ends_with([' ', '.'])
        && name.chars().any(char::is_alphanumeric)
        && name.chars().all(|c| is_name_letter(c) || matches!(c, ' ' | '-' | '_' | '.'));
    if sound && !is_device(name) {
        return Ok(());
    }
    Err(Error::request(
        format!("The name '{}' cannot be a file name.", excerpt(name, 0)),
        "Use letters, digits, spaces, '-', '_' and '.', beginning with a letter or digit, at most 100 characters \
         (50 where they are accented); give the folder with --out.",
    ))
}

/// A letter or digit, or a mark on one; not the letters of category Lo that are blank.
fn is_name_letter(c: char) -> bool {
    const BLANK: [char; 4] = ['\u{115f}', '\u{1160}', '\u{3164}', '\u{ffa0}'];
    (c.is_alphanumeric() && !BLANK.contains(&c)) || unicode_normalization::char::is_combining_mark(c)
}

/// Whether Windows keeps the name for a device, whatever ending it bears: also with the superscript digits
/// of Latin-1 ("Naming Files, Paths, and Namespaces").
fn is_device(name: &str) -> bool {
    const DEVICES: [&str; 4] = ["con", "prn", "aux", "nul"];
    let folded = folded(name);
    let stem = folded.split('.').next().unwrap_or(&folded).trim_end();
    let digits = stem.strip_prefix("com").or(stem.strip_prefix("lpt"));
    DEVICES.contains(&stem)
        || digits.is_some_and(|rest| rest.len() == 1 && rest.starts_with(|c: char| c.is_ascii_digit()))
}

/// What a name comes to where a file system makes no difference of case, composition or width: two names
/// of one folding may be one file.
pub fn folded(name: &str) -> String {
    // Up and down again joins what has several small letters, such as ß and SS, σ and ς.
    name.nfkc().collect::<String>().to_uppercase().to_lowercase().nfkc().collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_commands_a_terminal_or_breaks_xml_is_refused_and_shown_as_what_it_is() {
        for unfit in
            ["\u{1b}[31m", "\u{9b}31m", "\u{0}", "\r", "\u{202e}", "\u{fffe}", "\u{200b}", "\u{2028}"]
        {
            let text = format!("a{unfit}b");
            let error = refuse_unfit("The title", &text).unwrap_err();
            assert!(!error.says.contains(is_unfit), "{error:?}");
            assert!(!display(&text).contains(is_unfit) && display(&text).contains("\\u{"), "{text:?}");
        }
        for plain in ["Größe 5 × 8 µm²", "می‌خواهم", "軸受", "😀 ok"] {
            assert_eq!(display(plain), plain);
            refuse_unfit("The title", plain).unwrap();
        }
        assert_eq!(lines("a\nb\t"), "a\nb\\u{9}");
        assert_eq!(markup("<a b='1'>&\u{ffff}"), "&lt;a b=&#39;1&#39;&gt;&amp;\\u{ffff}");
    }

    #[test]
    fn a_text_in_utf_16_with_its_mark_is_read_too() {
        let little: Vec<u8> = "\u{feff}Größe".encode_utf16().flat_map(u16::to_le_bytes).collect();
        let big: Vec<u8> = "\u{feff}Größe".encode_utf16().flat_map(u16::to_be_bytes).collect();
        assert_eq!((decoded(little).as_deref(), decoded(big).as_deref()), (Some("Größe"), Some("Größe")));
        assert_eq!(decoded(vec![0xff, 0xfe, 0x41]).as_deref(), Some("A"), "an odd byte at the end");
        assert_eq!(decoded(vec![b'a', 0xe4]), None);
    }

    #[test]
    fn names_that_leave_the_folder_name_a_device_or_look_like_nothing_are_refused() {
        let bad = [
            "",
            "..",
            "a/b",
            "../x",
            "a\\b",
            ".hidden",
            "a\nb",
            "con\0",
            "a:b",
            "CON",
            "nul.x",
            "lpt1",
            "Com¹",
            "LPT².x",
            "ＣＯＮ",
            "con .x",
            "\u{3164}",
            "a\u{ffa0}",
            "-",
            " ",
            "_",
            "a\u{202e}b",
            "a.",
            "a ",
            "\u{300}",
        ];
        for bad in bad {
            assert!(file_name(bad).is_err(), "{bad:?}");
        }
        for good in
            ["sleeve-6204-inner", "Front bearing 2", "größe_1.5", "o\u{308}lring", "6204", "console", "com10"]
        {
            file_name(good).unwrap();
        }
    }

    #[test]
    fn names_that_some_folder_takes_for_one_fold_to_the_same() {
        for (a, b) in
            [("Ölring", "ölring"), ("Ölring", "O\u{308}lring"), ("Straße", "STRASSE"), ("ΟΔΟΣ", "οδος")]
        {
            assert_eq!(folded(a), folded(b));
        }
        assert_ne!(folded("front"), folded("rear"));
    }
}
