//! How a kind of part is declared: each key once, with its name in the file, its field, what it holds and what it means.
//! The reader, the JSON Schema and what a plugin sees come from that one line, so that no key can be forgotten by one of
//! them. Must not know which kinds there are.

use super::fact::{Fact, Facts};
use super::switch::SwitchContacts;
use super::transformer::TransformerWinding;
use crate::format::{Ends, Net, NetId, Row, Section};
use crate::standard::transformer::CoreBuild;
use crate::standard::{CapClass, Grade};

/// Declares a kind of part. A line is `needs` or `may`, the key of the file, the field in brackets (a second key of one field
/// has none), what it holds, what it means; `as` names the field for plugins where its own name would not do.
macro_rules! part {
    (
        $doc:literal, $name:ident = $word:literal $(, choice $choice:expr)?;
        $( $need:ident $key:literal $([$field:ident $(as $fact:literal)? : $type:ty])? = $holds:expr, $key_doc:literal; )*
    ) => {
        #[doc = $doc]
        #[derive(Debug, Clone, PartialEq)]
        pub(crate) struct $name {
            $($( #[doc = $key_doc] pub(crate) $field: $type, )?)*
        }

        impl $crate::part::declare::Declared for $name {
            const SECTION: $crate::format::Section = $crate::format::Section {
                name: $word,
                doc: $doc,
                keys: &[$( $crate::format::$need($key, $holds, $key_doc), )*],
                choice: $crate::part::declare::part!(@choice $($choice)?),
            };
            const FACTS: &'static [&'static str] =
                &[$($( $crate::part::declare::part!(@fact $field $($fact)?), )?)*];

            fn from_keys(row: &$crate::format::Row) -> Option<Self> {
                Some($name {
                    $($( $field: $crate::part::declare::Held::held(row, $key)?, )?)*
                })
            }

            fn facts<'a>(&'a self, nets: &'a [$crate::format::Net], facts: &mut $crate::part::fact::Facts<'a>) {
                $($(
                    if let Some(fact) = $crate::part::declare::Held::fact(&self.$field, nets) {
                        facts.push(($crate::part::declare::part!(@fact $field $($fact)?).into(), fact));
                    }
                )?)*
            }
        }
    };
    (@choice) => { None };
    (@choice $choice:expr) => { Some($choice) };
    (@fact $field:ident) => { stringify!($field) };
    (@fact $field:ident $fact:literal) => { $fact };
}
pub(crate) use part;

/// What follows from the declaration of a kind.
pub(crate) trait Declared: Sized {
    /// The kind and its keys as the file writes them.
    const SECTION: Section;
    /// Keys a plugin may meet in a row of such a part.
    const FACTS: &'static [&'static str];

    /// The part a row describes; `None` where a needed key is wrong or missing (that is told already).
    fn from_keys(row: &Row) -> Option<Self>;

    /// What a plugin sees of it beside what every part has: SI base units, keys in snake_case.
    fn facts<'a>(&'a self, nets: &'a [Net], facts: &mut Facts<'a>);
}

/// What a field can hold: how it comes out of a row, and how a plugin sees it.
pub(crate) trait Held: Sized {
    /// From the key of a row; `None` where it is needed and not there.
    fn held(row: &Row, key: &str) -> Option<Self>;
    /// As a plugin sees it; `None` where nothing is stated.
    fn fact<'a>(&'a self, nets: &'a [Net]) -> Option<Fact<'a>>;
}

/// A net by its name.
pub(super) fn net_fact(nets: &[Net], net: NetId) -> Fact<'_> {
    Fact::Text(nets[net].name.as_str().into())
}

/// A list of nets by their names.
pub(crate) fn nets_fact<'a>(nets: &'a [Net], list: &[NetId]) -> Fact<'a> {
    Fact::List(list.iter().map(|net| net_fact(nets, *net)).collect())
}

impl Held for f64 {
    fn held(row: &Row, key: &str) -> Option<f64> {
        row.number(key)
    }
    fn fact<'a>(&'a self, _: &'a [Net]) -> Option<Fact<'a>> {
        Some(Fact::Number(*self))
    }
}

impl Held for Option<f64> {
    fn held(row: &Row, key: &str) -> Option<Option<f64>> {
        Some(row.number(key))
    }
    fn fact<'a>(&'a self, _: &'a [Net]) -> Option<Fact<'a>> {
        self.map(Fact::Number)
    }
}

/// A count; 1 where the key is not written.
impl Held for u32 {
    fn held(row: &Row, key: &str) -> Option<u32> {
        if row.has(key) { row.count(key) } else { Some(1) }
    }
    fn fact<'a>(&'a self, _: &'a [Net]) -> Option<Fact<'a>> {
        Some(Fact::Number(f64::from(*self)))
    }
}

/// A property that is not there unless it is stated.
impl Held for bool {
    fn held(row: &Row, key: &str) -> Option<bool> {
        Some(row.flag(key).unwrap_or(false))
    }
    fn fact<'a>(&'a self, _: &'a [Net]) -> Option<Fact<'a>> {
        Some(Fact::Flag(*self))
    }
}

impl Held for Option<bool> {
    fn held(row: &Row, key: &str) -> Option<Option<bool>> {
        Some(row.flag(key))
    }
    fn fact<'a>(&'a self, _: &'a [Net]) -> Option<Fact<'a>> {
        self.map(Fact::Flag)
    }
}

impl Held for Option<String> {
    fn held(row: &Row, key: &str) -> Option<Option<String>> {
        Some(row.text(key))
    }
    fn fact<'a>(&'a self, _: &'a [Net]) -> Option<Fact<'a>> {
        self.as_deref().map(|text| Fact::Text(text.into()))
    }
}

impl Held for NetId {
    fn held(row: &Row, key: &str) -> Option<NetId> {
        row.net(key)
    }
    fn fact<'a>(&'a self, nets: &'a [Net]) -> Option<Fact<'a>> {
        Some(net_fact(nets, *self))
    }
}

impl Held for Option<NetId> {
    fn held(row: &Row, key: &str) -> Option<Option<NetId>> {
        Some(row.net(key))
    }
    fn fact<'a>(&'a self, nets: &'a [Net]) -> Option<Fact<'a>> {
        self.map(|net| net_fact(nets, net))
    }
}

impl Held for Vec<NetId> {
    fn held(row: &Row, key: &str) -> Option<Vec<NetId>> {
        row.nets(key)
    }
    fn fact<'a>(&'a self, nets: &'a [Net]) -> Option<Fact<'a>> {
        Some(nets_fact(nets, self))
    }
}

impl Held for Ends {
    fn held(row: &Row, key: &str) -> Option<Ends> {
        row.ends(key)
    }
    fn fact<'a>(&'a self, nets: &'a [Net]) -> Option<Fact<'a>> {
        Some(nets_fact(nets, self))
    }
}

impl Held for Option<CapClass> {
    fn held(row: &Row, key: &str) -> Option<Option<CapClass>> {
        Some(row.word(key).and_then(CapClass::from_word))
    }
    fn fact<'a>(&'a self, _: &'a [Net]) -> Option<Fact<'a>> {
        self.map(|class| Fact::Text(class.word().into()))
    }
}

impl Held for Option<Grade> {
    fn held(row: &Row, key: &str) -> Option<Option<Grade>> {
        Some(row.word(key).and_then(Grade::from_word))
    }
    fn fact<'a>(&'a self, _: &'a [Net]) -> Option<Fact<'a>> {
        self.map(|grade| Fact::Text(grade.word().into()))
    }
}

impl Held for Option<CoreBuild> {
    fn held(row: &Row, key: &str) -> Option<Option<CoreBuild>> {
        Some(row.word(key).and_then(CoreBuild::of_word))
    }
    fn fact<'a>(&'a self, _: &'a [Net]) -> Option<Fact<'a>> {
        self.map(|build| Fact::Text(build.word().into()))
    }
}

/// Poles, or else named positions.
impl Held for SwitchContacts {
    fn held(row: &Row, _: &str) -> Option<SwitchContacts> {
        match row.pairs("poles") {
            Some(poles) => Some(SwitchContacts::Poles(poles)),
            None => row.positions("positions").map(SwitchContacts::Positions),
        }
    }
    fn fact<'a>(&'a self, nets: &'a [Net]) -> Option<Fact<'a>> {
        Some(self.positions_fact(nets))
    }
}

impl Held for TransformerWinding {
    fn held(row: &Row, key: &str) -> Option<TransformerWinding> {
        Vec::held(row, key)?.into_iter().next()
    }
    fn fact<'a>(&'a self, nets: &'a [Net]) -> Option<Fact<'a>> {
        let mut facts = vec![("name".into(), Fact::Text(self.name.as_str().into()))];
        facts.push(("across".into(), nets_fact(nets, &self.across)));
        facts.push(("volts".into(), Fact::Number(self.volts)));
        facts.extend(self.no_load.map(|volts| ("no_load".into(), Fact::Number(volts))));
        facts.extend(self.resistance.map(|ohms| ("resistance".into(), Fact::Number(ohms))));
        Some(Fact::Row(facts))
    }
}

impl Held for Vec<TransformerWinding> {
    fn held(row: &Row, key: &str) -> Option<Vec<TransformerWinding>> {
        let winding = |(k, row): (usize, &Row)| TransformerWinding::from_row(row, key, k);
        let windings: Option<Vec<_>> = row.rows(key).iter().enumerate().map(winding).collect();
        windings.filter(|windings| !windings.is_empty())
    }
    fn fact<'a>(&'a self, nets: &'a [Net]) -> Option<Fact<'a>> {
        Some(Fact::List(self.iter().filter_map(|winding| winding.fact(nets)).collect()))
    }
}
