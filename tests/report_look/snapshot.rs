//! Literal pages beside the tests: compared, never written unless the person at the keyboard asks for it.

use std::path::Path;

/// Compares `have` with the page `name`. `DEADFRONT_BLESS=1` writes the page instead.
pub fn assert_page(name: &str, have: &str) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/report_look").join(name);
    if std::env::var_os("DEADFRONT_BLESS").is_some_and(|v| v == "1") {
        std::fs::write(&path, have).unwrap();
        return;
    }
    let want = std::fs::read_to_string(&path).unwrap_or_else(|error| {
        panic!("no page tests/report_look/{name} ({error}); look at this one, then write it with DEADFRONT_BLESS=1:\n{have}")
    });
    if want != have {
        let at = want.lines().zip(have.lines()).position(|(w, h)| w != h);
        let at = at.unwrap_or_else(|| want.lines().count().min(have.lines().count()));
        panic!(
            "tests/report_look/{name} line {} differs\n  stands: {:?}\n  now:    {:?}\nthe whole page now:\n{have}",
            at + 1,
            want.lines().nth(at),
            have.lines().nth(at)
        );
    }
}
