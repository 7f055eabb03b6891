//! Which rating of an item stands against which quantity, at the temperature where it sits.

use crate::finding::Quantity;
use crate::standard;
use crate::survey::model::Item;

use super::Case;

/// The rating of an item for one of the six quantities, where one applies.
pub(crate) fn rating(case: &Case, item: &Item, quantity: Quantity) -> Option<f64> {
    let ratings = case.jig.parts[item.part].kind.ratings(item.role);
    let rating = ratings.into_iter().find(|r| r.quantity == quantity)?;
    if rating.derates {
        rating.value.map(|power| standard::resistor::derated_power(power, case.inside_temperature()).value)
    } else {
        rating.value
    }
}
