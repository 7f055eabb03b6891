//! What all rows have in common, and the macro that types a table file. Knows no table.

use serde::Deserialize;
use std::collections::BTreeMap;

use super::unit::si;

/// A published value with where it is published.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Limit {
    /// The value in `unit`.
    pub value: f64,
    /// SI base unit (`""` for a plain number or a fraction).
    pub unit: &'static str,
    /// Standard and clause; says so where the value is from memory or common practice.
    pub source: String,
    /// Row it comes from.
    pub id: String,
}

/// A row of a table file.
pub(crate) trait Row {
    /// Name of the row, unique in its table.
    fn id(&self) -> &str;
    /// Where it is published.
    fn source(&self) -> &str;
    /// "published, corroborated", "from memory" or "common practice".
    fn basis(&self) -> &str;
    /// How well it is remembered, where the basis is memory.
    fn confidence(&self) -> Option<&str>;

    /// The source in words for a report: the basis is added wherever it is not a corroborated publication.
    fn cite(&self) -> String {
        match (self.basis(), self.confidence()) {
            ("published, corroborated", _) => self.source().to_string(),
            // A source that says so itself does not say it twice.
            ("common practice", _) if self.source().contains("common practice") => self.source().to_string(),
            (basis, Some(c)) => format!("{} ({basis}, {c} confidence)", self.source()),
            (basis, None) => format!("{} ({basis})", self.source()),
        }
    }

    /// A value of this row, already in SI base units.
    fn value(&self, value: f64, unit: &'static str) -> Limit {
        Limit { value, unit, source: self.cite(), id: self.id().to_string() }
    }
}

/// A row of a table whose rows have little in common: values by key.
#[derive(Debug, Clone, Deserialize)]
pub(crate) struct Fact {
    /// Name of the row.
    pub id: String,
    /// Where it is published.
    pub source: String,
    /// Basis.
    pub basis: String,
    /// Confidence.
    pub confidence: Option<String>,
    /// Remark.
    #[allow(dead_code)]
    pub note: Option<String>,
    /// Everything else.
    #[serde(flatten)]
    pub values: BTreeMap<String, toml::Value>,
}

impl Row for Fact {
    fn id(&self) -> &str {
        &self.id
    }
    fn source(&self) -> &str {
        &self.source
    }
    fn basis(&self) -> &str {
        &self.basis
    }
    fn confidence(&self) -> Option<&str> {
        self.confidence.as_deref()
    }
}

impl Fact {
    /// The number of a key as it stands in the file.
    pub(crate) fn number(&self, key: &str) -> Option<f64> {
        let value = self.values.get(key)?;
        value.as_float().or_else(|| value.as_integer().map(|i| i as f64))
    }

    /// The numbers of a key that holds a list.
    pub(crate) fn numbers(&self, key: &str) -> Option<Vec<f64>> {
        let list = self.values.get(key)?.as_array()?;
        list.iter().map(|v| v.as_float().or_else(|| v.as_integer().map(|i| i as f64))).collect()
    }

    /// The number of a key in SI base units, unit after the key's ending.
    pub(crate) fn limit(&self, key: &str) -> Option<Limit> {
        let (value, unit) = si(key, self.number(key)?)?;
        Some(self.value(value, unit))
    }
}

/// The row of that name.
pub(crate) fn find<'a, R: Row>(rows: &'a [R], id: &str) -> Option<&'a R> {
    rows.iter().find(|r| r.id() == id)
}

/// Types the tables of one file: a struct a table, its keys as fields, and a function that gives the rows.
/// The file is parsed at first use; a test parses all files, so a fault in one cannot ship.
macro_rules! table_file {
    ($file:literal [$($fact:ident),*] $( $(#[$doc:meta])* $name:ident in $table:ident { $($(#[$key:meta])* $field:ident : $ty:ty),* $(,)? } )*) => {
        $(
            $(#[$doc])*
            #[doc = ""]
            #[doc = "Fields are the keys of the table file, in the units their names end with."]
            #[derive(Debug, Clone, serde::Deserialize)]
            #[serde(deny_unknown_fields)]
            // A row holds all that is published of it; what no check asks for is printed by `why` and reached by plugins.
            #[allow(dead_code)]
            pub(crate) struct $name {
                pub(crate) id: String,
                $($(#[$key])* pub(crate) $field: $ty,)*
                pub(crate) source: String,
                pub(crate) basis: String,
                pub(crate) confidence: Option<String>,
                pub(crate) note: Option<String>,
                pub(crate) computed: Option<bool>,
            }

            impl $crate::standard::row::Row for $name {
                fn id(&self) -> &str { &self.id }
                fn source(&self) -> &str { &self.source }
                fn basis(&self) -> &str { &self.basis }
                fn confidence(&self) -> Option<&str> { self.confidence.as_deref() }
            }
        )*

        #[derive(serde::Deserialize)]
        #[serde(deny_unknown_fields)]
        // Tables that are only reached by name stand here too: a file is read whole.
        #[allow(dead_code)]
        struct File {
            $($fact: Vec<$crate::standard::row::Fact>,)*
            $($table: Vec<$name>,)*
        }

        fn file() -> &'static File {
            static PARSED: std::sync::LazyLock<File> = std::sync::LazyLock::new(|| {
                toml::from_str(include_str!($file)).expect(concat!($file, " is compiled in and tested"))
            });
            &PARSED
        }

        $(
            #[doc = concat!("Rows of `", stringify!($fact), "` in `", $file, "`.")]
            #[allow(dead_code)]
            pub(crate) fn $fact() -> &'static [$crate::standard::row::Fact] { &file().$fact }
        )*
        $(
            #[doc = concat!("Rows of `", stringify!($table), "` in `", $file, "`.")]
            #[allow(dead_code)]
            pub(crate) fn $table() -> &'static [$name] { &file().$table }
        )*
    };
}
