//! Words of fuse-inrush.

use crate::finding::said::FuseInrush;

pub(super) fn words(s: &FuseInrush) -> (String, String) {
    let FuseInrush { part, i2t, carries, cure, put_on } = s;
    if *put_on {
        let other = cure.as_ref().map_or(String::new(), |rating| format!(", or use T {rating}"));
        return (
            format!(
                "Put on what is charged, {part} gets {i2t}; it is sure to carry {carries} only: it opens, the charge stays, and nothing \
                 shows it"
            ),
            format!("leave {part} out, the resistors limit the current{other}"),
        );
    }
    (
        format!(
            "the inrush at switch-on, at the worst instant, is {i2t} through {part}, which is sure to stand {carries}: it may blow with nothing wrong"
        ),
        match cure {
            Some(rating) => {
                format!("use T {rating} if wires and parts behind it stand it, or limit the inrush with a thermistor")
            }
            None => "limit the inrush with a thermistor or resistor".into(),
        },
    )
}
