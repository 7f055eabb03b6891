//! Tables that a test makes and DEVELOPERS.md holds, between `<!-- NAME: begin -->` and `<!-- NAME: end -->`.

/// The table of that name in DEVELOPERS.md must be this one; DEADFRONT_BLESS=1 puts it there.
pub fn compare(name: &str, table: &str) {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/DEVELOPERS.md");
    let text = std::fs::read_to_string(path).unwrap();
    let (begin, end) = (format!("<!-- {name}: begin -->\n"), format!("<!-- {name}: end -->"));
    let from = text.find(&begin).expect("its place in DEVELOPERS.md") + begin.len();
    let to = text.find(&end).expect("the end of its place in DEVELOPERS.md");
    if std::env::var_os("DEADFRONT_BLESS").is_some() {
        std::fs::write(path, format!("{}{table}{}", &text[..from], &text[to..])).unwrap();
        return;
    }
    assert_eq!(&text[from..to], table, "DEVELOPERS.md is behind: DEADFRONT_BLESS=1 cargo test --lib {name}");
}
