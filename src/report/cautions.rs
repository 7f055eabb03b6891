//! The cautions that stand at the foot of every report, in one place. `SAFETY.md` says the same at length.

/// Short form of the cautions, in the order in which they matter. One sentence or two each.
pub(crate) const CAUTIONS: [&str; 4] = [
    "Local codes come first: where they ask for a licensed electrician or a tested appliance, that is what it takes. \
     This report replaces neither.",
    "Before you touch anything: pull the plug, discharge what can hold a charge, and prove it dead with a meter you \
     have just tried on a known live source.",
    "It reads what the file says. It cannot see workmanship, the distances really built, ratings that are false, \
     moisture, dirt or age.",
    "A hazard that is not listed here may still be there.",
];
