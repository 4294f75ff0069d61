//! Breaking against all breakings, and pages that hold together.

use super::faces::{Face, Faces};
use super::spelling::{Piece, words};
use super::{
    Align, Band, Block, Column, Document, Figure, GRID, MEASURE, PageLayout, Paper, Span, Table, layout,
    line, paragraph, pdf,
};

const WORDS: &str = "The pump latch holds the spring rod while the cross block squeezes the springs; then it lets go, \
    and the springs throw the piston at a speed of their own, whatever the pace of the machine may be";

fn document(paper: Paper, bands: Vec<Band>) -> Document {
    Document {
        title: "An invented caster".to_owned(),
        subtitle: "In an invented place".to_owned(),
        foot: "A test.".to_owned(),
        paper,
        bands,
    }
}

fn running(sentences: usize) -> Block {
    Block::Paragraph(vec![Span::roman(vec![WORDS; sentences].join(". "))])
}

fn set(document: &Document) -> PageLayout {
    layout(document).unwrap_or_else(|error| panic!("{error}"))
}

/// Words of the running text broken on a measure (pt), as text.
fn broken(text: &str, measure: f64, indent: f64) -> Vec<String> {
    let faces = Faces::load().unwrap_or_else(|error| panic!("{error}"));
    let words = line::words(&faces, text, Face::Roman, 10.0);
    paragraph::lines(&words, measure, indent).iter().map(line::Line::text).collect()
}

#[test]
fn closed_form_total_fit_beats_filling_line_by_line() {
    // Filled line by line, three words leave a fourth alone before the wide ones; two and two are better.
    let faces = Faces::load().unwrap_or_else(|error| panic!("{error}"));
    let width = |text: &str| line::Line::set(&faces, text, Face::Roman, 10.0).width();
    let measure = width("nnnn nnnn nnnn");
    let wide = "n".repeat(11);
    assert!(width(&wide) < measure && width(&format!("nnnn {wide}")) > measure);
    let lines = broken(&format!("nnnn nnnn nnnn nnnn {wide} {wide}"), measure, 0.0);
    assert_eq!(lines, ["nnnn nnnn", "nnnn nnnn", &wide, &wide]);
}

#[test]
fn property_a_word_wider_than_the_measure_stands_alone() {
    let lines = broken("in incomprehensibilities in", 40.0, 0.0);
    assert_eq!(lines, ["in", "incomprehensibilities", "in"]);
    assert_eq!(broken("", 40.0, 0.0).concat(), "");
}

#[test]
fn property_every_line_fits_and_the_first_leaves_its_indent() {
    let faces = Faces::load().unwrap_or_else(|error| panic!("{error}"));
    let words = line::words(&faces, WORDS, Face::Roman, 10.0);
    for measure in (120..300).map(f64::from) {
        for indent in [0.0, 11.0] {
            let lines = paragraph::lines(&words, measure, indent);
            let room = |n: usize| if n == 0 { measure - indent } else { measure };
            assert!(lines.iter().enumerate().all(|(n, line)| line.width() <= room(n) + 1e-5), "{measure}");
            let text: Vec<String> = lines.iter().map(line::Line::text).collect();
            assert_eq!(text.join(" "), line::Line::of(&words).text());
        }
    }
}

#[test]
fn property_spelling_keeps_figures_together() {
    let plain = |text: &str| Piece::Plain(text.to_owned());
    let half = Piece::Fraction("11/16".to_owned());
    assert_eq!(words("2 11/16 in"), vec![vec![plain("2"), Piece::Thin, half.clone()], vec![plain("in")]]);
    assert_eq!(
        words("a 2 11/16\u{a0}in sleeve"),
        vec![
            vec![plain("a"), Piece::Space, plain("2"), Piece::Thin, half, Piece::Thin, plain("in")],
            vec![plain("sleeve")]
        ]
    );
    assert_eq!(words("\"it's\" -5"), vec![vec![plain("‘it’s’")], vec![plain("−5")]]);
    // A date is no fraction, nor is a pace.
    assert_eq!(words("1/2/3 turns/min"), vec![vec![plain("1/2/3")], vec![plain("turns/min")]]);
}

#[test]
fn property_every_face_has_the_characters_of_reports() {
    let faces = Faces::load().unwrap_or_else(|error| panic!("{error}"));
    for &face in Face::ALL {
        assert!(faces.has(face, "Aaz09 °–−µ²³×·½‘’•…≤≥Δ/"), "{face:?}");
    }
}

#[test]
fn property_lines_neither_overlap_nor_leave_the_page() {
    let table = Table {
        columns: vec![Column::new("size", Align::Decimal), Column::new("time,\nms", Align::Decimal)],
        rows: (0..9).map(|n| vec![format!("{n} pt"), format!("{}.{n}", n * n)]).collect(),
        note: WORDS.to_owned(),
    };
    for paper in [Paper::A4, Paper::Letter] {
        let blocks = vec![
            Block::Heading("One".to_owned()),
            running(3),
            running(2),
            Block::Table(table.clone()),
            Block::Item(vec![Span::italic("First. "), Span::roman(WORDS)]),
            Block::Heading("Two".to_owned()),
            running(30),
        ];
        let figure = Block::Figure(Figure { svg: String::new(), size: (4.0, 2.0) });
        let bands = vec![
            Band::Wide(vec![running(1), figure]),
            Band::Sides(vec![running(1)], vec![Block::Table(table.clone())]),
            Band::Columns(blocks),
        ];
        let pages = set(&document(paper, bands));
        assert!(pages.pages.len() > 1);
        for page in &pages.pages {
            for (n, placed) in page.iter().enumerate() {
                assert!(placed.is_inside(pages.paper, 28.0), "{placed:?}");
                assert!(placed.w <= MEASURE + 1e-6);
                let clash = page.iter().skip(n + 1).find(|other| placed.overlaps(other));
                assert_eq!(clash, None, "{placed:?}");
            }
        }
    }
}

#[test]
fn property_no_line_of_a_paragraph_stands_alone() {
    for sentences in 1..24 {
        let pages = set(&document(
            Paper::A4,
            vec![Band::Columns(vec![
                Block::Heading("One".to_owned()),
                running(sentences),
                running(25 - sentences),
                running(12),
            ])],
        ));
        for page in &pages.pages {
            for of in page.iter().filter_map(|placed| placed.line).filter(|of| of.of > 1) {
                let beside = |line: usize| {
                    let mine = page
                        .iter()
                        .filter(|other| other.line.is_some_and(|other| other.paragraph == of.paragraph));
                    let here = mine.clone().find(|other| other.line == Some(of)).map(|p| p.y);
                    let there = mine
                        .clone()
                        .find(|other| other.line.is_some_and(|other| other.line == line))
                        .map(|p| p.y);
                    here.zip(there).is_some_and(|(here, there)| (here - there).abs() < GRID + 1e-6)
                };
                assert!(beside(of.line + 1) || of.line > 0 && beside(of.line - 1), "{of:?}");
            }
        }
    }
}

#[test]
fn property_columns_are_about_equally_long() {
    let pages = set(&document(Paper::A4, vec![Band::Columns(vec![running(9)])]));
    let lines: Vec<_> = pages.pages[0].iter().filter(|placed| placed.line.is_some()).collect();
    let left = lines.iter().filter(|placed| placed.x < pages.paper.0 / 2.0).count();
    assert!(left.abs_diff(lines.len() - left) <= 2, "{left} of {}", lines.len());
}

#[test]
fn property_the_same_document_has_the_same_bytes_and_embeds_its_faces() {
    let document = document(Paper::Letter, vec![Band::Wide(vec![running(2)])]);
    let bytes = || pdf(&document).unwrap_or_else(|error| panic!("{error}"));
    assert!(bytes().starts_with(b"%PDF-"));
    assert!(bytes() == bytes());
    // Bold is not used, and not in the file.
    let embedded = bytes().windows(11).filter(|part| part == b"/FontFile2 ").count();
    assert_eq!(embedded, 3, "roman, italic for the line below the title, sans for the foot");
}

#[test]
fn property_a_block_higher_than_the_page_is_refused() {
    let rows = vec![vec!["row".to_owned()]; 99];
    let table = Table { columns: vec![Column::new("", Align::Left)], rows, note: String::new() };
    assert!(layout(&document(Paper::A4, vec![Band::Wide(vec![Block::Table(table)])])).is_err());
}
