//! Words of class-conflict.

use super::join::list;
use crate::finding::said::ClassConflict;

pub(super) fn words(s: &ClassConflict) -> (String, String) {
    let of = |message: &str, remedy: &str| (message.to_string(), remedy.to_string());
    match s {
        ClassConflict::NoEarth { plug, cores } => {
            let plug = plug.as_ref().map(|letter| format!("a type {letter} plug has no earth contact"));
            let cord = cores.map(|n| format!("a cord of {n} cores brings no earth"));
            let why: Vec<String> = plug.into_iter().chain(cord).collect();
            (
                format!("class I stands on the protective earth, but {}", why.join(" and ")),
                "use an earthed plug and a three-core cord, or build the tool as class II with double or reinforced \
                 insulation throughout"
                    .into(),
            )
        }
        ClassConflict::NoMains => of(
            "class I stands on the protective earth, which a tool without mains does not have",
            "write class = \"II\" and insulate it so, or \"III\" when it never meets more than extra-low voltage",
        ),
        ClassConflict::OnEarth(what) => {
            let what = list(what);
            (
                format!("class II depends on no earth, but {what} stands on PE"),
                format!("take {what} off PE, or build the tool as class I with an earthed plug and cord"),
            )
        }
        ClassConflict::MetalBox => of(
            "a metal box is class II only when double or reinforced insulation lies between it and the mains, and none is \
             stated",
            "state the insulation with its grade and distances, or earth the box as class I",
        ),
        ClassConflict::OnMains => of(
            "class III is fed with safety extra-low voltage only, but this tool has a mains supply",
            "write class = \"I\" or \"II\", whichever it is built as",
        ),
        ClassConflict::NotStated => of(
            "the file does not state the class, so it is judged as class I when its box is metal and as class II otherwise",
            "write class = \"I\" (metal on the protective earth) or class = \"II\" (double or reinforced insulation)",
        ),
    }
}
