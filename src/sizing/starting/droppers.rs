//! Lamps behind a dropper, which is sized.

use super::super::{Sized, led, neon};
use super::pieces::Site;
use super::{Refused, Unit, Wall};
use crate::sizing::{Dropper, LedCircuit, LedWish, NeonWish};

pub(super) const UNITS: &[Unit] = &[
    Unit {
        name: "strobe-lamp",
        also: &["neon-strobe", "neon-lamp", "wand"],
        about: "A neon strobe lamp in a tube, straight across the mains behind its dropper",
        feed: Wall::Mains,
        first: &[
            "type of LP1 (deadfront tables lamps), then size the dropper again: deadfront size neon",
            "size of the tube",
        ],
        write: strobe_lamp,
    },
    Unit {
        name: "led-strobe",
        also: &["led-lamp"],
        about: "An LED strobe lamp: a string of LEDs in a bridge, behind resistors",
        feed: Wall::Mains,
        first: &["forward and current of LED1, from its data sheet, then: deadfront size led", "size of the box"],
        write: led_strobe,
    },
    Unit {
        name: "capacitor-lamp",
        also: &["capacitor-led", "capacitive-dropper"],
        about: "An LED lamp behind an X2 capacitor: little heat, and a bleeder that empties it",
        feed: Wall::Mains,
        first: &[
            "forward, current and series of LED1, then: deadfront size led --dropper capacitor",
            "size of the box",
        ],
        write: capacitor_lamp,
    },
];

fn strobe_lamp(site: &Site) -> Result<String, Refused> {
    let wish = NeonWish { mains: site.wish(), lamp_type: Some("A1A".into()), ..NeonWish::default() };
    sized(neon::size(&wish).map_err(|e| told(&e))?)
}

fn led_strobe(site: &Site) -> Result<String, Refused> {
    let wish = LedWish {
        mains: site.wish(),
        forward: "3.2 V".into(),
        current: "10 mA".into(),
        max_current: Some("20 mA".into()),
        peak_current: Some("60 mA".into()),
        reverse: Some("5 V".into()),
        series: 3,
        circuit: Some(LedCircuit::Bridge),
        ..LedWish::default()
    };
    sized(led::size(&wish).map_err(|e| told(&e))?)
}

fn capacitor_lamp(site: &Site) -> Result<String, Refused> {
    let wish = LedWish {
        mains: site.wish(),
        forward: "2.8 V".into(),
        current: "15 mA".into(),
        max_current: Some("30 mA".into()),
        peak_current: Some("1 A".into()),
        reverse: Some("5 V".into()),
        series: 10,
        dropper: Dropper::Capacitor,
        circuit: Some(LedCircuit::Bridge),
    };
    sized(led::size(&wish).map_err(|e| told(&e))?)
}

/// The text of the chosen design; else why there is none.
fn sized(sized: Sized) -> Result<String, Refused> {
    let Sized { sizing, text } = sized;
    text.ok_or_else(|| {
        sizing.why.last().cloned().unwrap_or_else(|| "no design of its dropper passes the checks".into())
    })
}

fn told(errors: &[crate::jig::InputError]) -> Refused {
    errors.iter().map(|e| e.message.clone()).collect::<Vec<_>>().join("; ")
}
