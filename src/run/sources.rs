//! Where the change of a wheel's toe and camber comes from.
//!
//! Exact: the model is linear, so what tubes, joints and mounts give adds up to the whole change.

use nalgebra::{DMatrix, Vector3};

use super::prepared::Prepared;
use crate::car::{is_rack, tie_rod};
use crate::loads::{Cause, Contribution, Load};
use crate::model::{Model, TubeRef};
use crate::solve::{RightSide, State, Work};
use crate::structure::{Origin, TubeName};

/// What kind of part gives.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Giver {
    /// Tubes of the frame and their joints.
    Frame,
    /// Tubes of the corners but for tie rods, struts and springs among them.
    Arms,
    /// Tie rods, and the mounts of the body that they are held by.
    Steering,
    /// Mounts of the ground, their movement included.
    Mounts,
    /// Mounts of bodies but for the steering.
    Bodies,
}

impl Giver {
    /// All, in the order of tables.
    pub const ALL: [Giver; 5] = [Giver::Frame, Giver::Arms, Giver::Steering, Giver::Mounts, Giver::Bodies];

    /// Its key in results.
    pub fn name(self) -> &'static str {
        match self {
            Giver::Frame => "frame",
            Giver::Arms => "arms",
            Giver::Steering => "steering",
            Giver::Mounts => "mounts",
            Giver::Bodies => "bodies",
        }
    }
}

/// A change in parts, in the order of [`Giver::ALL`].
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Sources(pub [f64; 5]);

impl Sources {
    /// What one kind of part gives.
    pub fn of(&self, giver: Giver) -> f64 {
        self.0[giver as usize]
    }

    fn less(self, other: Sources) -> Sources {
        Sources(std::array::from_fn(|at| self.0[at] - other.0[at]))
    }
}

/// Where the changes of a wheel's angles come from, degrees.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct WheelSources {
    /// Of toe-in.
    pub toe_deg: Sources,
    /// Of camber.
    pub camber_deg: Sources,
}

/// Answers to unit loads on the uprights, and which kind of part everything elastic is.
pub(super) struct Probes {
    /// Of each corner: a moment whose work is its toe-in, and one whose work is its camber, degrees.
    corners: Vec<[State; 2]>,
    pieces: Vec<Giver>,
    springs: Vec<Giver>,
}

impl Probes {
    pub(super) fn new(model: &Model, prepared: &Prepared) -> Probes {
        let system = &prepared.system;
        let structure = &system.structure;
        let rights: Vec<RightSide> = model
            .corners
            .iter()
            .zip(&structure.uprights)
            .flat_map(|(corner, &part)| {
                let sign = corner.wheel.turn_sign();
                [Vector3::z(), Vector3::x()].map(|axis| {
                    let load = Load::OnPart {
                        part,
                        at: corner.wheel_centre,
                        force_n: Vector3::zeros(),
                        moment_nmm: axis * sign.to_degrees(),
                    };
                    let cause = Cause::TyreMoment(corner.wheel);
                    system.right_side(&[Contribution { cause, loads: vec![load] }])
                })
            })
            .collect();
        let mut corners = Vec::new();
        if !rights.is_empty() {
            let columns: Vec<_> = rights.iter().map(|right| right.unknowns.clone()).collect();
            let (x, _) = prepared.solved.unknowns(system, &DMatrix::from_columns(&columns));
            let states: Vec<State> =
                rights.iter().zip(x.column_iter()).map(|(right, x)| system.state(right, &x.into_owned())).collect();
            let mut states = states.into_iter();
            while let (Some(toe), Some(camber)) = (states.next(), states.next()) {
                corners.push([toe, camber]);
            }
        }
        let tubes: Vec<Giver> = structure.tubes.iter().map(|tube| of_tube(model, tube.name)).collect();
        let springs = structure
            .springs
            .iter()
            .map(|spring| match spring.origin {
                Origin::Joint(tube, _) => tubes[tube],
                Origin::BodyMount(body, _) if is_rack(model, &model.bodies[body]) => Giver::Steering,
                Origin::BodyMount(..) => Giver::Bodies,
                Origin::Mount(_) | Origin::Ball(_) | Origin::HeldTurn | Origin::LeftOut => Giver::Mounts,
            })
            .collect();
        Probes { corners, pieces: structure.pieces.iter().map(|piece| tubes[piece.tube]).collect(), springs }
    }

    /// Where the change of a corner's angles comes from, from a standing state or from unloaded.
    pub(super) fn change(
        &self,
        prepared: &Prepared,
        corner: usize,
        state: &State,
        standing: Option<&State>,
    ) -> WheelSources {
        let [toe_deg, camber_deg] = self.corners[corner].each_ref().map(|probe| {
            let whole = self.sources(prepared, probe, state);
            standing.map_or(whole, |standing| whole.less(self.sources(prepared, probe, standing)))
        });
        WheelSources { toe_deg, camber_deg }
    }

    fn sources(&self, prepared: &Prepared, probe: &State, real: &State) -> Sources {
        let Work { pieces, springs, ties } = prepared.system.virtual_work(probe, real);
        let mut sources = Sources::default();
        let givers = self.pieces.iter().chain(&self.springs);
        for (giver, work) in givers.zip(pieces.iter().chain(&springs)) {
            sources.0[*giver as usize] += work;
        }
        sources.0[Giver::Mounts as usize] += ties.iter().sum::<f64>();
        sources
    }
}

fn of_tube(model: &Model, name: TubeName) -> Giver {
    match name {
        TubeName::Tube(TubeRef::Member(_)) => Giver::Frame,
        TubeName::Spring(_) => Giver::Arms,
        TubeName::Tube(TubeRef::Corner { corner, tube }) => {
            let corner = &model.corners[corner];
            let name = &corner.kind.tubes()[tube].name;
            let steers = tie_rod(model, corner).is_some_and(|(rod, _)| rod == name);
            if steers { Giver::Steering } else { Giver::Arms }
        }
    }
}
