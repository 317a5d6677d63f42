//! The same pages as a PDF document, laid by the `pdf-writer` crate.
//!
//! The letters are Helvetica, one of the faces every reader carries, in the Windows Latin encoding;
//! a text with a character outside it is refused before a page is made ([`foreign`]). No date is
//! written, so the same pages give the same bytes.

use super::lettering;
use super::page::{Anchor, Mark, Page, Pen, Text};
use crate::solid::Point2;
use crate::text::display;
use pdf_writer::types::{LineCapStyle, LineJoinStyle};
use pdf_writer::{Content, Finish, Name, Pdf, Rect, Ref, Str, TextStr};

/// Points a millimetre.
const POINTS: f64 = 72.0 / 25.4;
const REGULAR: Name = Name(b"F1");
const BOLD: Name = Name(b"F2");

/// A PDF document's bytes, one page a sheet, each of its true size.
pub fn pdf(pages: &[Page]) -> Vec<u8> {
    let mut pdf = Pdf::new();
    let [catalog, tree, info, regular, bold] = [1, 2, 3, 4, 5].map(Ref::new);
    let ids: Vec<(Ref, Ref)> =
        (0..pages.len() as i32).map(|k| (Ref::new(6 + 2 * k), Ref::new(7 + 2 * k))).collect();
    pdf.catalog(catalog).pages(tree);
    pdf.pages(tree).kids(ids.iter().map(|ids| ids.0)).count(pages.len() as i32);
    let title = pages.first().map_or("", |page| page.title.as_str());
    pdf.document_info(info)
        .title(TextStr(&display(title)))
        .creator(TextStr(concat!("fixwright ", env!("CARGO_PKG_VERSION"))))
        .producer(TextStr("pdf-writer"));
    for (id, face) in [(regular, &b"Helvetica"[..]), (bold, &b"Helvetica-Bold"[..])] {
        pdf.type1_font(id).base_font(Name(face)).encoding_predefined(Name(b"WinAnsiEncoding"));
    }
    for (page, &(id, stream)) in pages.iter().zip(&ids) {
        let (width, height) = ((page.width * POINTS) as f32, (page.height * POINTS) as f32);
        let mut writer = pdf.page(id);
        writer.media_box(Rect::new(0.0, 0.0, width, height)).parent(tree).contents(stream);
        writer.resources().fonts().pair(REGULAR, regular).pair(BOLD, bold);
        writer.finish();
        pdf.stream(stream, &content(page));
    }
    let mut bytes = pdf.finish();
    // A comment after the end marks the file as ours for a later run; readers skip it.
    bytes.extend_from_slice(b"\n%fixwright\n");
    bytes
}

fn content(page: &Page) -> Vec<u8> {
    let mut content = Content::new();
    // Millimetres from the top left corner from here on.
    content.transform([POINTS as f32, 0.0, 0.0, -POINTS as f32, 0.0, (page.height * POINTS) as f32]);
    content.set_line_join(LineJoinStyle::RoundJoin);
    for mark in &page.marks {
        match mark {
            Mark::Line { pen, points } => draw(&mut content, *pen, points, false),
            Mark::Closed { pen, points } => draw(&mut content, *pen, points, true),
            Mark::Filled { points } => {
                trace(&mut content, points, true);
                content.fill_nonzero();
            }
            Mark::Arc { pen, centre, radius, from, sweep } => {
                choose(&mut content, *pen);
                arc(&mut content, *centre, *radius, *from, *sweep);
                content.stroke();
            }
            Mark::Text(text) => write_text(&mut content, text),
        }
    }
    content.finish().to_vec()
}

fn draw(content: &mut Content, pen: Pen, points: &[Point2], closed: bool) {
    choose(content, pen);
    trace(content, points, closed);
    content.stroke();
}

fn choose(content: &mut Content, pen: Pen) {
    let cap = if pen.pattern().is_empty() { LineCapStyle::RoundCap } else { LineCapStyle::ButtCap };
    content
        .set_line_width(pen.width() as f32)
        .set_line_cap(cap)
        .set_dash_pattern(pen.pattern().iter().map(|&mm| mm as f32), 0.0);
}

fn trace(content: &mut Content, points: &[Point2], closed: bool) {
    for (k, p) in points.iter().enumerate() {
        let (x, y) = (p.x as f32, p.y as f32);
        if k == 0 {
            content.move_to(x, y);
        } else {
            content.line_to(x, y);
        }
    }
    if closed {
        content.close_path();
    }
}

/// An arc as cubic curves of at most an eighth of a turn, each true to 1e-6 of the radius.
fn arc(content: &mut Content, centre: Point2, radius: f64, from: f64, sweep: f64) {
    let pieces = (sweep.abs() / std::f64::consts::FRAC_PI_4 - 1e-9).ceil().max(1.0);
    let step = sweep / pieces;
    let handle = 4.0 / 3.0 * (step / 4.0).tan();
    let at = |angle: f64| (centre.x + radius * angle.cos(), centre.y + radius * angle.sin());
    let along = |angle: f64| (-radius * angle.sin() * handle, radius * angle.cos() * handle);
    let start = at(from);
    content.move_to(start.0 as f32, start.1 as f32);
    for k in 0..pieces as usize {
        let (a, b) = (from + step * k as f64, from + step * (k + 1) as f64);
        let ((x0, y0), (x1, y1)) = (at(a), at(b));
        let ((dx0, dy0), (dx1, dy1)) = (along(a), along(b));
        content.cubic_to(
            (x0 + dx0) as f32,
            (y0 + dy0) as f32,
            (x1 - dx1) as f32,
            (y1 - dy1) as f32,
            x1 as f32,
            y1 as f32,
        );
    }
}

fn write_text(content: &mut Content, text: &Text) {
    let back = match text.anchor {
        Anchor::Start => 0.0,
        Anchor::Middle => lettering::width(&text.text, text.height) / 2.0,
        Anchor::End => lettering::width(&text.text, text.height),
    };
    // The page's y runs down, the letters' up.
    let (matrix, x, y) = if text.upright {
        ([0.0, -1.0, -1.0, 0.0], text.at.x, text.at.y + back)
    } else {
        ([1.0, 0.0, 0.0, -1.0], text.at.x - back, text.at.y)
    };
    content
        .begin_text()
        .set_font(if text.bold { BOLD } else { REGULAR }, lettering::size(text.height) as f32)
        .set_text_matrix([matrix[0], matrix[1], matrix[2], matrix[3], x as f32, y as f32])
        .show(Str(&latin(&text.text)))
        .end_text();
}

/// Text in the Windows Latin encoding.
fn latin(text: &str) -> Vec<u8> {
    display(text).chars().filter_map(encoded).collect()
}

/// The first character of a text that the drawings' letters lack.
pub fn foreign(text: &str) -> Option<char> {
    text.chars().find(|c| !c.is_control() && encoded(*c).is_none())
}

/// A character in the Windows Latin encoding (WinAnsiEncoding of ISO 32000-1, annex D).
fn encoded(c: char) -> Option<u8> {
    const HIGH: [(char, u8); 27] = [
        ('€', 0x80),
        ('‚', 0x82),
        ('ƒ', 0x83),
        ('„', 0x84),
        ('…', 0x85),
        ('†', 0x86),
        ('‡', 0x87),
        ('ˆ', 0x88),
        ('‰', 0x89),
        ('Š', 0x8a),
        ('‹', 0x8b),
        ('Œ', 0x8c),
        ('Ž', 0x8e),
        ('‘', 0x91),
        ('’', 0x92),
        ('“', 0x93),
        ('”', 0x94),
        ('•', 0x95),
        ('–', 0x96),
        ('—', 0x97),
        ('˜', 0x98),
        ('™', 0x99),
        ('š', 0x9a),
        ('›', 0x9b),
        ('œ', 0x9c),
        ('ž', 0x9e),
        ('Ÿ', 0x9f),
    ];
    match c {
        ' '..='~' | '\u{a0}'..='ÿ' => u8::try_from(u32::from(c)).ok(),
        // The same signs under other names.
        '−' => Some(b'-'),
        'μ' => Some(0xb5),
        '⌀' => Some(0xd8),
        _ => HIGH.iter().find(|(known, _)| *known == c).map(|(_, byte)| *byte),
    }
}
