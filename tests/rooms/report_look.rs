//! The look of reports, by artificial pages of every shape. The literal pages stand in `report_look/` and are
//! read by a person when they change; `DEADFRONT_BLESS=1` writes them anew. A page that is missing fails.

#![allow(clippy::unwrap_used)]

use super::pages;
use super::snapshot::assert_page;
use crate::finding::Judgement;
use crate::report::{self, CAUTIONS, Colour, Look};
use serde_json::Value;
use unicode_width::UnicodeWidthStr;

/// The page of every table.
fn full(judgement: &Judgement, look: Look) -> String {
    report::check_text(judgement, None, look)
}

/// The page that is printed unless every table is asked for.
fn brief(judgement: &Judgement, look: Look) -> String {
    report::brief_text(judgement, None, look)
}

fn plain(width: usize) -> Look {
    Look { width, ..Look::default() }
}

/// Text with colour codes (`ESC [ … m`) taken out.
fn without_codes(text: &str) -> String {
    let mut rest = text;
    let mut out = String::new();
    while let Some((before, after)) = rest.split_once("\u{1B}[") {
        out.push_str(before);
        rest = after.split_once('m').unwrap().1;
    }
    out + rest
}

fn hidden(c: char) -> bool {
    // Written out from the Unicode ranges, not taken from the program.
    let n = c as u32;
    let ranges = [
        (0x00, 0x1F),
        (0x7F, 0x9F),
        (0xAD, 0xAD),
        (0x34F, 0x34F),
        (0x61C, 0x61C),
        (0x115F, 0x1160),
        (0x180B, 0x180F),
        (0x200B, 0x200F),
        (0x2028, 0x2029),
        (0x202A, 0x202E),
        (0x2060, 0x206F),
        (0x3164, 0x3164),
        (0xFE00, 0xFE0F),
        (0xFEFF, 0xFEFF),
        (0xFFA0, 0xFFA0),
        (0xFFF0, 0xFFFB),
        (0x1D173, 0x1D17A),
        (0xE0000, 0xE0FFF),
    ];
    c != '\n' && ranges.iter().any(|&(from, to)| (from..=to).contains(&n))
}

#[test]
fn pages_look_as_they_did() {
    for (name, judgement) in pages::judgements() {
        assert_page(&format!("check-{name}.txt"), &full(&judgement, plain(80)));
        assert_page(&format!("brief-{name}.txt"), &brief(&judgement, plain(80)));
    }
    for (name, sizing) in pages::sizings() {
        assert_page(&format!("size-{name}.txt"), &report::size_text(&sizing, plain(80)));
    }
}

#[test]
fn a_wide_terminal_is_used() {
    assert_page("wide-check-every-signal.txt", &full(&pages::every_signal(), plain(110)));
    assert_page("wide-brief-every-signal.txt", &brief(&pages::every_signal(), plain(120)));
    assert_page("narrow-brief-every-signal.txt", &brief(&pages::every_signal(), plain(40)));
    assert_page("narrow-check-every-signal.txt", &full(&pages::every_signal(), plain(40)));
    assert_page("wide-size-sized-many.txt", &report::size_text(&pages::sized_many(), plain(110)));
}

#[test]
fn json_looks_as_it_did() {
    // Which edition of the tables it was made with is no matter of looks.
    let json = report::check_json(&pages::every_signal()).replace(crate::standard::edition(), "0123456789ab");
    assert_page("check-every-signal.json", &json);
    assert_page("size-sized-many.json", &report::size_json(&pages::sized_many()));
}

#[test]
fn no_line_is_wider_than_the_page() {
    for width in [40, 48, 60, 72, 80, 97, 120] {
        for colour in [false, true] {
            let look = Look { width, colour, ascii: false };
            let checks =
                pages::judgements().into_iter().flat_map(|(name, j)| [(name, full(&j, look)), (name, brief(&j, look))]);
            let sizes = pages::sizings().into_iter().map(|(name, s)| (name, report::size_text(&s, look)));
            for (name, text) in checks.chain(sizes) {
                for line in without_codes(&text).lines() {
                    assert!(line.width() <= width, "{name} at {width}: {} columns: {line}", line.width());
                }
            }
        }
    }
}

/// A generator of numbers (xorshift, fixed seed): the same texts on every run.
struct Dice(u64);

impl Dice {
    fn below(&mut self, n: u32) -> u32 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        u32::try_from(self.0 % u64::from(n)).unwrap()
    }

    /// Letters of many scripts, wide ones, marks, emoji and their selectors, controls, and any other character.
    fn text(&mut self, longest: u32) -> String {
        let ranges = [
            (0x20, 0x7F),
            (0x00, 0x20),
            (0xA0, 0x600),
            (0x600, 0x1200),
            (0x1780, 0x1A20),
            (0x2000, 0x2070),
            (0x2600, 0x27C0),
            (0x3040, 0x9FFF),
            (0xA4D0, 0xA500),
            (0xAC00, 0xD7A0),
            (0xFE00, 0xFE10),
            (0x1F1E6, 0x1F200),
            (0x1F300, 0x1FA00),
            (0xE0000, 0xE0200),
            (0, 0x110000),
        ];
        let length = self.below(longest);
        let mut draw = || {
            let (from, to) = ranges[self.below(15) as usize];
            char::from_u32(from + self.below(to - from)).unwrap_or(' ')
        };
        (0..length).map(|_| draw()).collect()
    }
}

#[test]
fn no_text_of_a_file_makes_a_line_too_wide_or_hides_in_it() {
    let mut dice = Dice(0x5EED_5EED_5EED_5EED);
    for _ in 0..300 {
        let mut j = pages::every_signal();
        j.jig_name = dice.text(150);
        j.findings[0].message = dice.text(400);
        j.findings[1].parts = (0..dice.below(5)).map(|_| dice.text(60)).collect();
        j.findings[2].unit = dice.text(6);
        j.stresses[0].part = dice.text(40);
        j.stresses[1].condition = dice.text(80);
        j.touch[0].touchable = dice.text(90);
        j.not_checked = vec![dice.text(200)];
        let width = 40 + dice.below(81) as usize;
        for text in [full(&j, plain(width)), brief(&j, plain(width))] {
            assert!(!text.contains(hidden), "{j:?}");
            for line in text.lines() {
                assert!(line.width() <= width, "{} columns in {width}: {line:?}", line.width());
            }
        }
    }
}

#[test]
fn colour_adds_codes_to_signal_words_and_nothing_else() {
    let pages = pages::judgements().into_iter().flat_map(|(name, j)| {
        [full as fn(&Judgement, Look) -> String, brief]
            .map(|page| (name, page(&j, Look { colour: true, ..Look::default() }), page(&j, plain(80))))
    });
    for (name, coloured, plain) in pages {
        assert_eq!(without_codes(&coloured), plain, "{name}");
        for piece in coloured.split("\u{1B}[0m").filter(|p| p.contains('\u{1B}')) {
            let (codes, word) = piece.rsplit_once('m').unwrap();
            assert!(["DANGER", "WARNING", "CAUTION", "NOTICE"].contains(&word), "{name}: {word:?} after {codes:?}");
        }
    }
}

#[test]
fn panel_colours_are_those_of_the_standard() {
    // 256-colour table: 231 white, 16 black, 160 red, 208 orange, 220 yellow, 26 blue.
    let coloured = Look { colour: true, ..Look::default() };
    let (text, brief) = (full(&pages::every_signal(), coloured), brief(&pages::every_signal(), coloured));
    for (word, letters, ground) in
        [("DANGER", 231, 160), ("WARNING", 16, 208), ("CAUTION", 16, 220), ("NOTICE", 231, 26)]
    {
        let panel = format!("\u{1B}[1m\u{1B}[38;5;{letters}m\u{1B}[48;5;{ground}m{word}\u{1B}[0m ");
        assert!(text.contains(&panel) && brief.contains(&panel), "{word}: {text:?} {brief:?}");
    }
}

#[test]
fn colour_rules() {
    use Colour::{Always, Auto, Never};
    for (wish, terminal, no_color, term, coloured) in [
        (Auto, true, None, Some("xterm"), true),
        (Auto, true, None, None, true),
        (Auto, true, Some(""), None, true),
        (Auto, true, Some("1"), None, false),
        (Auto, true, None, Some("dumb"), false),
        (Auto, false, None, Some("xterm"), false),
        (Always, false, Some("1"), Some("dumb"), true),
        (Never, true, None, Some("xterm"), false),
    ] {
        let got = report::colour_for(wish, terminal, no_color, term);
        assert_eq!(got, coloured, "{wish:?} terminal {terminal} NO_COLOR {no_color:?} TERM {term:?}");
    }
}

#[test]
fn width_rules() {
    for (terminal, reported, columns, width) in [
        (false, Some(200), Some("200"), 80),
        (true, Some(100), Some("70"), 100),
        (true, Some(200), None, 120),
        (true, Some(20), None, 40),
        (true, Some(0), Some("90"), 90),
        (true, None, Some("90"), 90),
        (true, None, Some("wide"), 80),
        (true, None, None, 80),
    ] {
        assert_eq!(report::width_for(terminal, reported, columns), width, "{terminal} {reported:?} {columns:?}");
    }
}

#[test]
fn gravest_first_in_text_and_json() {
    let order = ["touch-current", "resistor-voltage", "single-pole-fuse", "lamp-life"];
    let text = full(&pages::every_signal(), plain(80));
    let places: Vec<usize> = order.iter().map(|check| text.find(check).unwrap()).collect();
    assert!(places.is_sorted(), "{places:?}");
    let json: Value = serde_json::from_str(&report::check_json(&pages::every_signal())).unwrap();
    let checks: Vec<&str> = json["findings"].as_array().unwrap().iter().map(|f| f["check"].as_str().unwrap()).collect();
    assert_eq!(checks, order);
}

#[test]
fn first_line_of_a_finding_stands_alone() {
    let text = full(&pages::every_signal(), plain(80));
    assert!(text.lines().any(|l| l == "WARNING  resistor-voltage  R1  260 V r.m.s. > 250 V"), "{text}");
    assert!(text.lines().any(|l| l == "DANGER  touch-current  wand tube end cap  3.5 mA r.m.s. > 500 µA"), "{text}");
}

#[test]
fn verdicts_in_words() {
    for (judgement, words) in [
        (pages::every_signal(), "DANGER Do not plug it in: 1 danger, 1 warning, 1 caution, 1 notice"),
        (pages::accepted(), "WARNING Do not plug it in: 1 warning, 1 caution"),
        (pages::only_caution(), "CAUTION Look at these before it is used: 1 caution, 1 notice"),
        (pages::only_notice(), "Nothing graver than NOTICE found: 1 notice. That is no proof"),
        (pages::quiet(), "Nothing graver than NOTICE found. That is no proof"),
        (pages::incomplete(), "Do not plug it in: the check could not be finished"),
        (pages::empty(), "Do not plug it in: the check could not be finished"),
    ] {
        for text in [full(&judgement, plain(80)), brief(&judgement, plain(80))] {
            // The first line and the last: whatever scrolled, it is on the screen.
            assert_eq!(text.lines().next().unwrap(), words);
            assert_eq!(text.lines().last().unwrap(), words);
        }
    }
}

#[test]
fn every_page_has_the_cautions_and_never_says_safe() {
    let checks = pages::judgements().into_iter().map(|(name, j)| (name, full(&j, plain(80))));
    let sizes = pages::sizings().into_iter().map(|(name, s)| (name, report::size_text(&s, plain(80))));
    let flat = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    for (name, text) in checks.chain(sizes) {
        let foot = CAUTIONS.map(|c| format!("- {c}")).join(" ");
        assert!(flat(&text).contains(&foot), "{name} does not end with the cautions");
    }
    for (name, judgement) in pages::judgements() {
        let text = flat(&brief(&judgement, plain(80)));
        for needed in ["pull the plug, discharge it, prove it dead", "workmanship", "local codes", "SAFETY.md"] {
            assert!(text.contains(needed), "{name} lost {needed:?}");
        }
    }
    let briefs = pages::judgements().into_iter().map(|(name, j)| (name, brief(&j, plain(80))));
    let checks = pages::judgements().into_iter().map(|(name, j)| (name, full(&j, plain(80))));
    for (name, text) in briefs.chain(checks) {
        let text = text.replace("SAFETY.md", "");
        let says_safe = text.split(|c: char| !c.is_alphabetic()).any(|w| w.eq_ignore_ascii_case("safe"));
        assert!(!says_safe, "{name} says safe");
    }
    for needed in
        ["Local codes", "licensed", "discharge", "prove it dead", "workmanship", "distances", "moisture", "age"]
    {
        assert!(CAUTIONS.iter().any(|c| c.contains(needed)), "the cautions lost {needed:?}");
    }
}

#[test]
fn hidden_characters_reach_neither_text_nor_json() {
    let mut hostile = pages::hostile();
    hostile
        .jig_name
        .push_str("\u{34F}\u{1160}\u{180B}\u{2065}\u{3164}\u{FE0F}\u{FFA0}\u{FFF0}\u{1D173}\u{E0080}\u{E0100}");
    let text = full(&hostile, plain(80));
    assert!(!text.contains(hidden), "{:?}", text.chars().find(|&c| hidden(c)));
    let json = report::check_json(&hostile);
    assert!(!json.contains(hidden), "{:?}", json.chars().find(|&c| hidden(c)));
    // JSON escapes them, so that a program still reads what the file said.
    let read: Value = serde_json::from_str(&json).unwrap();
    assert_eq!(read["jig"]["name"], hostile.jig_name);
    assert_eq!(read["findings"][0]["place"]["file"], hostile.findings[1].place.file);
}

#[test]
fn cleaning_keeps_what_can_be_seen() {
    assert_eq!(
        report::clean("a\tb\r\nc\u{1B}[2J é\u{301} 抵抗 Ω\u{2009}µ\u{2010}"),
        "a b  c\u{FFFD}[2J é\u{301} 抵抗 Ω\u{2009}µ\u{2010}"
    );
    assert_eq!(report::clean_lines("one\ntwo\u{7}\n"), "one\ntwo\u{FFFD}");
    // A filler is one character of the text; a variation selector is part of how the one before it looks.
    assert_eq!(report::clean("a\u{3164}b\u{34F}c ⚠\u{FE0F}"), "a\u{FFFD}b\u{FFFD}c ⚠");
    // The characters just outside the ranges stay.
    let beside = "\u{20}\u{7E}\u{A0}\u{200A}\u{2010}\u{2027}\u{202F}\u{205F}\u{2070}\u{FEFE}\u{FFFC}\u{E1000}";
    assert_eq!(report::clean(beside), beside);
    assert!(
        pages::HIDDEN
            .chars()
            .filter(|c| !"[31m".contains(*c))
            .all(|c| matches!(report::clean(&c.to_string()).as_str(), " " | "\u{FFFD}"))
    );
}
