//! Mathematics only: devices → modes → exact steady state and transients of piecewise-linear mains circuits. This room
//! knows no safety, no limits and no file format.
//!
//! SI units everywhere; node 0 is the reference (earth). A branch's voltage is `v(a) - v(b)` and its current flows from
//! `a` through the part to `b`, so `v * i` is the power the part takes (a source's own power is therefore negative when
//! it delivers).
//!
//! The files in the order in which they build on one another, each using only those before it:
//!
//! 1. what goes in and out: `netlist` (the circuit), `results`, `unsolved` (the error);
//! 2. tools: `linear` (dense matrices), `sets` (disjoint sets), `wave` (sines of the mains angle);
//! 3. the circuit, once: `values` (ranges), `forest` (spanning forest, supernodes), `islands` (leaks), `storage`
//!    (capacitances, inductances), `conserved` (trapped charge and flux), `elimination` (order of the nodal equations),
//!    `plan` (all of it);
//! 4. a mode, once per combination of the switching devices' segments: `segment` (their characteristics), `nodal`
//!    (Kirchhoff's current law), `ladder` and `taylor` (propagators), `rings`
//!    (how long it swings), `mode` (all of it);
//! 5. through time: `machine` (plan and modes), `trace` (what happened), `samples` (the state at even instants of a step),
//!    `margins` (when guards fall), `events` (a consistent mode after each), `walk`;
//! 6. quantities: `interpolation` (what samples say), `measure` (sums over a trace);
//! 7. steady states: `algebraic` (no storage), `phasor` (no switching), `shooting` (both), `lighting` (of lamps and LEDs),
//!    `solution` (whichever suits);
//! 8. `strays` (a hand that only stray capacitances feed), `transient`, `filament` (resistance by power), `solver` (the front door).
//!
//! Words: a *segment* is one straight piece of a switching device's characteristic, a *mode* the circuit while every
//! device stays on its segment, a *guard* one way to leave a mode, the *state* what capacitors and inductors store.

mod algebraic;
mod conserved;
mod elimination;
mod events;
mod filament;
mod forest;
mod interpolation;
mod islands;
mod ladder;
mod lighting;
mod linear;
mod machine;
mod margins;
mod measure;
mod mode;
mod netlist;
mod nodal;
mod phasor;
mod plan;
mod results;
mod rings;
mod samples;
mod segment;
mod sets;
mod shooting;
mod solution;
mod solver;
mod storage;
mod strays;
mod taylor;
mod trace;
mod transient;
mod unsolved;
mod values;
mod walk;
mod wave;

pub use netlist::{Branch, Circuit, Core, Coupling, Device, HandNetwork, Stray};
pub use results::{Felt, Lighting, Quantities, Repeats, Steady};
pub use solver::Solver;
pub use transient::{Start, Transient, Until};
pub use unsolved::Unsolved;
