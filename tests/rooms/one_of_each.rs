//! What the whole program has one of: the hash, the writer of jig files, the printer of quantities, the joiner of names.
#![allow(missing_docs)]

use crate::jig::write::Text;
use crate::quantity::{Kind, format};
use crate::wording::join::list;

#[test]
fn hashes_are_those_of_the_standard() {
    // The first example of FIPS 180-2, appendix B.
    let hash = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
    assert_eq!(crate::files::sha256(b"abc"), hash);
}

#[test]
fn a_jig_file_is_written_from_the_top_down() {
    let text = Text::new()
        .comment("Neon wand, first draft")
        .section("part.R1")
        .key("kind", "resistor")
        .list("across", &["L", "a"])
        .finish();
    assert!(text.ends_with("[part.R1]\nkind = \"resistor\"\nacross = [\"L\", \"a\"]\n"));
}

#[test]
fn quantities_are_printed_as_on_a_bench() {
    assert_eq!(format(150e3, Kind::Resistance), "150 kΩ");
    assert_eq!(format(0.99996, Kind::Current), "1 A");
}

#[test]
fn a_long_list_of_names_is_cut() {
    let names = ["R1", "R2", "R3", "R4", "R5"].map(String::from);
    assert_eq!(list(&names[..2]), "R1 and R2");
    assert_eq!(list(&names), "R1, R2, R3 and 2 more");
}
