//! Box, cord, class, and what keeps fingers from the mains, by their published sentences.

use super::rules::{Way, impedance};
use super::told::Signal;
use super::tool::Grade;
use super::verdict::Judge;
use super::walks::{capacitor, is, joints, reach, wire};

pub fn box_and_cord(j: &mut Judge) {
    let tool = j.tool;
    let rule = |j: &mut Judge, class, checks: &'static [&'static str], right: bool| {
        if right {
            j.silent(class, checks, "", "as it should be".into());
        } else {
            j.must(class, checks, "", Signal::Caution, "as stated".into());
        }
    };
    rule(j, "cord relief", &["cord-relief"], tool.relief);
    rule(j, "opens by hand", &["opens-by-hand"], tool.tool_to_open);
    let on_earth = tool.parts.iter().any(|p| p.ends.iter().any(|e| e == "PE"));
    let right = if tool.class_one { tool.earthed() } else { !on_earth };
    if right {
        j.silent("class", &["class-conflict"], "", "class and earth agree".into());
    } else {
        j.must(
            "class",
            &["class-conflict", "earth-open", "cord-cores"],
            "",
            Signal::Warning,
            "class and earth disagree".into(),
        );
    }
}

pub fn touchables(j: &mut Judge) {
    let tool = j.tool;
    const INSULATION: &[&str] = &["insulation-missing", "insulation-too-weak"];
    for t in &tool.touchables {
        let bonded = reach(tool, &t.net, &[], |x| is(x, wire)).contains("PE");
        let joined = joints(tool).iter().any(|x| !is(x, wire) && !is(x, capacitor) && (x.a == t.net || x.b == t.net));
        let grade = tool.insulation.iter().filter(|i| i.to == t.net).map(|i| i.grade).max();
        if joined || impedance(j) != Way::Open {
            continue;
        }
        let earthed = bonded && tool.earthed();
        let wanted = if earthed { Grade::Basic } else { Grade::Double };
        let name = t.name.as_str();
        match grade {
            None => j.must("insulation", &["insulation-missing"], name, Signal::Warning, "none stated".into()),
            Some(g) if g < wanted && bonded && !earthed => {
                let checks: &[&str] = &["insulation-missing", "insulation-too-weak", "earth-open"];
                j.must(
                    "insulation",
                    checks,
                    name,
                    Signal::Warning,
                    format!("{g:?} to metal whose earth does not arrive"),
                );
            }
            Some(g) if g < wanted => {
                j.must("insulation", INSULATION, name, Signal::Warning, format!("{g:?} where {wanted:?} is asked for"));
            }
            Some(g) => j.silent("insulation", INSULATION, name, format!("{g:?}")),
        }
        if bonded && !tool.earthed() {
            j.must("earth open", &["earth-open"], "", Signal::Warning, "on PE without an earth".into());
        } else {
            j.silent("earth open", &["earth-open"], "", "earth arrives or is not used".into());
        }
        if tool.class_one && !bonded && grade.is_some_and(|g| g < Grade::Double) {
            j.must("bonding", &["earth-not-bonded"], name, Signal::Warning, "class I metal without a bond".into());
        } else if bonded || grade.is_some_and(|g| g >= Grade::Double) {
            j.silent("bonding", &["earth-not-bonded"], name, "bonded or doubly insulated".into());
        }
    }
}
