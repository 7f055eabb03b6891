//! Rules without a number of another table: where each is published. What they ask is judged elsewhere.

use super::row::{Limit, Row, find};

table_file! { "rules.toml" [rule]
    /// The edition of all tables.
    Edition in edition { month: String }
}

/// The edition of the tables, and the first digits of the sha256 of all their files, so that two programs whose rows differ in
/// anything never say the same.
pub(crate) fn tables_edition() -> String {
    const DIGITS: usize = 8;
    let month = edition().first().map_or("", |e| e.month.as_str());
    let all: String = super::FILES.iter().map(|(name, text)| format!("{name}\n{text}")).collect();
    format!("{month}, {}", &crate::files::sha256(all.as_bytes())[..DIGITS])
}

/// One function a row, so that no check can name a rule that is not in the file.
macro_rules! rules {
    ($($name:ident),* $(,)?) => {
        $(
            #[doc = concat!("Where the rule `", stringify!($name), "` of `rules.toml` is published.")]
            pub(crate) fn $name() -> String { cite(stringify!($name)) }
        )*

        #[cfg(test)]
        const NAMES: &[&str] = &[$(stringify!($name)),*];
    };
}

rules! {
    every_path_fused, fuse_each_pole, fuse_in_line, fuse_at_start, switch_means_dead, earth_path, earth_wire, class,
    insulation_grade, barrier, beyond_the_table, live_parts_out_of_reach, opened_with_a_tool, strain_relief,
    series_impedance, net_list, ratings_stated, nothing_unsolved, acceptance_ends, holds_in_use, limiter_in_line,
}

fn cite(id: &str) -> String {
    find(rule(), id).map(Row::cite).expect("rules.toml: every row is tested")
}

/// Cores a cord needs at least where metal depends on its earth, and where none does.
pub(crate) fn cores_needed(earth: bool) -> Limit {
    let row = find(rule(), "cores").expect("rules.toml: every row is tested");
    let key = if earth { "cores_with_earth" } else { "cores_without_earth" };
    row.value(row.number(key).unwrap_or_default(), "")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_has_its_function_and_every_function_its_row() {
        // The numbers of `cores` are looked up with their source.
        let rows: Vec<&str> = rule().iter().map(|r| r.id.as_str()).filter(|id| *id != "cores").collect();
        assert_eq!(rows, NAMES);
        let says = |r: &super::super::row::Fact| r.values["says"].as_str().is_some_and(|s| s.ends_with('.'));
        assert!(rule().iter().all(says));
        assert!(cores_needed(true).value == 3.0 && cores_needed(false).value == 2.0);
    }
}
