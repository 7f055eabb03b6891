//! How a box gives off its heat: what it is made of, its outside and its openings. Knows no jig.

use super::bench::heat;
use super::row::{Fact, Limit, Row, find};

/// The outside of a box, by how it gives off heat.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Finish {
    /// Metal with paint, powder or anodised.
    Painted,
    /// Metal as rolled or polished: it radiates little.
    Bare,
    /// Plastic: it radiates like paint and conducts badly.
    Plastic,
}

/// A box.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Shell {
    /// Outside lengths, metres.
    pub size: [f64; 3],
    /// Its outside.
    pub finish: Finish,
    /// Openings low in it, and as much high in it, square metres; 0 for a closed box.
    pub vents: f64,
}

fn row(id: &str) -> &'static Fact {
    find(heat(), id).unwrap_or_else(|| panic!("bench.toml: heat.{id} is tested"))
}

fn number(id: &str, key: &str) -> f64 {
    row(id).number(key).unwrap_or_else(|| panic!("bench.toml: heat.{id}.{key} is tested"))
}

impl Shell {
    fn row(&self) -> &'static str {
        match self.finish {
            Finish::Painted => "box_painted",
            Finish::Bare => "box_bare",
            Finish::Plastic => "box_plastic",
        }
    }

    /// Square metres that give off heat.
    fn area(&self) -> f64 {
        let [a, b, c] = self.size;
        2.0 * (a * b + b * c + c * a) * (1.0 - number("box_surface_not_used", "fraction"))
    }

    /// Watts a kelvin from the air inside through the walls to the room.
    fn through_walls(&self) -> f64 {
        number(self.row(), "inside_w_per_m2_k") * self.area()
    }

    /// Watts over kelvins to the power of 1.5 that the air carries out through the openings: the draught of a chimney of
    /// the box's shortest side with an opening at each end.
    fn through_vents(&self) -> f64 {
        let air = |key| number("vents", key);
        let height = self.size.into_iter().fold(f64::INFINITY, f64::min);
        let draught = (2.0 * air("gravity_m_per_s2") * height / air("room_k")).sqrt();
        let both = self.vents * std::f64::consts::FRAC_1_SQRT_2;
        air("density_kg_per_m3") * air("heat_j_per_kg_k") * air("discharge_coefficient") * both * draught
    }

    /// Watts that bring the air inside so many kelvins above the room.
    pub(crate) fn watts_for(&self, rise: f64) -> f64 {
        let rise = rise.max(0.0);
        self.through_walls() * rise + self.through_vents() * rise * rise.sqrt()
    }

    /// Kelvins of the air inside above the room.
    pub(crate) fn inside_rise(&self, watts: f64) -> Limit {
        // The walls alone are the most it can be; what the air carries out brings it below.
        let (mut low, mut high) = (0.0, watts.max(0.0) / self.through_walls());
        if self.vents > 0.0 {
            const HALVINGS: usize = 60;
            for _ in 0..HALVINGS {
                let middle = 0.5 * (low + high);
                if self.watts_for(middle) > watts { high = middle } else { low = middle }
            }
        }
        row(self.row()).value(high, "K")
    }

    /// Kelvins of the outer surface above the room, evenly spread.
    pub(crate) fn surface_rise(&self, watts: f64) -> Limit {
        let inside = self.inside_rise(watts);
        let share = number(self.row(), "inside_w_per_m2_k") / number(self.row(), "surface_w_per_m2_k");
        Limit { value: inside.value * share, ..inside }
    }

    /// Watts that bring the outer surface so many kelvins above the room.
    pub(crate) fn watts_for_surface(&self, rise: f64) -> f64 {
        let share = number(self.row(), "inside_w_per_m2_k") / number(self.row(), "surface_w_per_m2_k");
        self.watts_for(rise / share)
    }
}
