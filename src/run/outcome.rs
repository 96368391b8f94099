//! What came out, by name, in the units of the result: mm, N, N·m, MPa, kg, degrees.

use nalgebra::{Point3, Vector3};

use super::lost_welds::LostWeld;
use super::modes::{Modes, NoVibration, buckling, lateral, vibrations};
use super::prepared::Prepared;
use super::response::{CaseResponse, Response};
use super::second_order::{SecondOrder, Settlement};
use super::sources::{Probes, WheelSources};
use crate::beam::mass::tube_mass_kg;
use crate::car::{Geometry, bar_balance, geometry};
use crate::model::{Anchor, Model, STANDING, TubeRef, Wheel};
use crate::section::InternalForces;
use crate::solve::{Accuracy, State};
use crate::source::Named;
use crate::structure::{Origin, Structure, TubeName};

/// A force (N) and a moment (N·m).
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Wrench {
    /// Force, N.
    pub force_n: Vector3<f64>,
    /// Moment, N·m.
    pub moment_nm: Vector3<f64>,
}

/// A shift (mm) and a turn (degrees).
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Moved {
    /// Shift, mm.
    pub move_mm: Vector3<f64>,
    /// Turn, degrees.
    pub turn_deg: Vector3<f64>,
}

/// A body: how it moved, and what it does to the frame at each of its mounts.
#[derive(Debug, Clone, PartialEq)]
pub struct BodyOutcome {
    /// At its centre of gravity.
    pub moved: Moved,
    /// By node.
    pub mounts: Named<Wrench>,
}

/// Change of a wheel's angles, degrees; toe-in positive.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct WheelChange {
    /// Toe-in.
    pub toe_deg: f64,
    /// Camber.
    pub camber_deg: f64,
    /// Caster.
    pub caster_deg: f64,
}

impl WheelChange {
    /// From the turn (degrees, by the right hand about global x, y, z) of a wheel's upright: toe-in,
    /// camber and caster are −z, −x, −y of a left wheel, +z, +x, −y of a right one.
    pub fn of_turn(wheel: Wheel, turn_deg: &Vector3<f64>) -> WheelChange {
        let sign = wheel.turn_sign();
        WheelChange { toe_deg: sign * turn_deg.z, camber_deg: sign * turn_deg.x, caster_deg: -turn_deg.y }
    }
}

/// A wheel: its force on the car, and what it did.
#[derive(Debug, Clone, PartialEq)]
pub struct WheelOutcome {
    /// Force on the car, and moment about the contact patch.
    pub load: Wrench,
    /// Where the corner is modelled: angles and movement of the contact patch from unloaded, and
    /// the change of the angles from standing.
    pub moved: Option<WheelMoved>,
}

/// What a modelled wheel did.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WheelMoved {
    /// Angles from unloaded.
    pub angles: WheelChange,
    /// Movement of the contact patch from unloaded, mm.
    pub patch_mm: Vector3<f64>,
    /// Angles from standing.
    pub change: WheelChange,
    /// Where that change comes from.
    pub sources: WheelSources,
}

/// A pick-up: what the corner parts do to it, and how far it went from standing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PickupOutcome {
    /// What all corner parts there do to the node.
    pub load: Wrench,
    /// Length of the change of its place, mm.
    pub change_mm: f64,
}

/// Internal forces at a place of a tube.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Station {
    /// Distance from the first end, mm.
    pub at_mm: f64,
    /// The forces, N and N·mm.
    pub forces: InternalForces,
}

/// A tube or spring: its forces from end to end.
#[derive(Debug, Clone, PartialEq)]
pub struct TubeOutcome {
    /// The tube, an index into the tubes of the structure.
    pub tube: usize,
    /// Both ends and the middle of each piece, from the first end to the second.
    pub along: Vec<Station>,
}

/// A case by name.
#[derive(Debug, Clone, PartialEq)]
pub struct CaseOutcome {
    /// Nodes and brackets, from unloaded; none where the cases are solved for their verdict alone.
    pub nodes: Named<Moved>,
    /// What the ground does to the frame.
    pub mounts: Named<Wrench>,
    /// The bodies.
    pub bodies: Named<BodyOutcome>,
    /// The wheels.
    pub wheels: Named<WheelOutcome>,
    /// The pick-ups.
    pub pickups: Named<PickupOutcome>,
    /// Tension of the left and right links of each anti-roll bar, N.
    pub anti_roll: Named<[f64; 2]>,
    /// The tubes of the frame, those of the corners, and the springs; none where the cases are solved for their verdict
    /// alone.
    pub members: Named<TubeOutcome>,
    /// How accurate it is.
    pub accuracy: Accuracy,
}

/// A twist test.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TwistOutcome {
    /// Moment, N·m.
    pub moment_nm: f64,
    /// Angle, degrees.
    pub angle_deg: f64,
    /// Stiffness, N·m/deg; `None` where nothing turns.
    pub stiffness_nm_deg: Option<f64>,
}

/// Mass of the parts of a model.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MassOutcome {
    /// Tubes of the frame, kg.
    pub frame_kg: f64,
    /// Centre of gravity of the frame's tubes, mm.
    pub cg_mm: Point3<f64>,
    /// Tubes of the corners, kg.
    pub arms_kg: f64,
    /// Bodies, kg.
    pub bodies_kg: f64,
}

impl MassOutcome {
    /// Mass of a model that was taken apart.
    pub fn of(model: &Model, structure: &Structure) -> MassOutcome {
        let mut mass = MassOutcome { frame_kg: 0.0, cg_mm: Point3::origin(), arms_kg: 0.0, bodies_kg: 0.0 };
        let mut moment = Vector3::zeros();
        for piece in &structure.pieces {
            let tube = &structure.tubes[piece.tube];
            let of_piece = tube_mass_kg(tube.properties.area_mm2, piece.axes.length_mm, tube.material.density_kg_m3);
            match tube.name {
                TubeName::Tube(TubeRef::Member(_)) => {
                    mass.frame_kg += of_piece;
                    moment += (piece.ends[0].at.coords + piece.ends[1].at.coords) * (of_piece / 2.0);
                }
                TubeName::Tube(TubeRef::Corner { .. }) => mass.arms_kg += of_piece,
                TubeName::Spring(_) => {}
            }
        }
        if mass.frame_kg > 0.0 {
            mass.cg_mm = Point3::from(moment / mass.frame_kg);
        }
        mass.bodies_kg = model.bodies.values().map(|body| body.mass_kg).sum();
        mass
    }
}

/// Everything that came out, by name.
#[derive(Debug, Clone, PartialEq)]
pub struct Outcome {
    /// The cases.
    pub cases: Named<CaseOutcome>,
    /// The twist tests, by case.
    pub twist: Named<TwistOutcome>,
    /// Mass.
    pub mass: MassOutcome,
    /// What the drawn corners say, by wheel.
    pub geometry: Named<Geometry>,
    /// What the frame does as a whole.
    pub modes: Modes,
    /// Cases in equilibrium on the deformed frame.
    pub second_order: Named<SecondOrder>,
    /// What becomes of the frame when a weld is lost, the worst first; `None`: it has too many welds.
    pub lost_welds: Option<Vec<LostWeld>>,
}

impl Outcome {
    /// A case on the deformed frame, where it was solved there and stands.
    pub(super) fn settled(&self, case: &str) -> Option<&Settlement> {
        match self.second_order.get(case)? {
            SecondOrder::Settled(settled) => Some(settled),
            SecondOrder::Collapses(_) => None,
        }
    }
}

/// Names what came out.
pub fn outcome(model: &Model, prepared: &Prepared, response: &Response) -> Outcome {
    let view = View { model, prepared, probes: Some(Probes::new(model, prepared)) };
    let modes = Modes {
        buckling: buckling(model, prepared, response),
        lateral: lateral(model, prepared, response),
        vibration: vibrations(model, prepared),
    };
    named(&view, response, modes)
}

/// The same of the cases alone, for their verdict: without nodes, tubes and the sources of changes of wheels, which are
/// left at nothing, and without vibration, which no case takes part in.
pub(super) fn outcome_of_cases(model: &Model, prepared: &Prepared, response: &Response) -> Outcome {
    let vibration = Err(NoVibration::NotAsked);
    let modes =
        Modes { buckling: buckling(model, prepared, response), lateral: lateral(model, prepared, response), vibration };
    named(&View { model, prepared, probes: None }, response, modes)
}

/// The same without buckling either: as if no case buckled the frame.
pub(super) fn outcome_of_statics(model: &Model, prepared: &Prepared, response: &Response) -> Outcome {
    named(&View { model, prepared, probes: None }, response, Modes::not_asked(response))
}

fn named(view: &View<'_>, response: &Response, modes: Modes) -> Outcome {
    let model = view.model;
    let standing = response.cases.iter().find(|case| case.name == STANDING).map(|case| &case.state);
    let mut cases = Named::new();
    let mut twist = Named::new();
    for case in &response.cases {
        let from = standing.filter(|_| model.cases[&case.name].g.is_some());
        cases.insert(case.name.clone(), view.case(case, from));
        if let Some(test) = &case.twist {
            let (moment_nm, angle_deg) = (test.moment_nmm / 1000.0, test.angle_rad.to_degrees());
            let stiffness_nm_deg = (angle_deg != 0.0).then(|| (moment_nm / angle_deg).abs());
            twist.insert(case.name.clone(), TwistOutcome { moment_nm, angle_deg, stiffness_nm_deg });
        }
    }
    let geometry = model.corners.iter().map(|corner| (corner.wheel.name().to_owned(), geometry(model, corner)));
    Outcome {
        cases,
        twist,
        mass: MassOutcome::of(model, &view.prepared.system.structure),
        geometry: geometry.collect(),
        modes,
        second_order: Named::new(),
        lost_welds: None,
    }
}

/// One case by name, its movement also from a standing state of the same structure.
pub(super) fn case_outcome(
    model: &Model,
    prepared: &Prepared,
    case: &CaseResponse,
    standing: Option<&State>,
) -> CaseOutcome {
    View { model, prepared, probes: Some(Probes::new(model, prepared)) }.case(case, standing)
}

struct View<'m> {
    model: &'m Model,
    prepared: &'m Prepared,
    /// Of what is told; `None`: for a verdict alone.
    probes: Option<Probes>,
}

impl View<'_> {
    fn case(&self, case: &CaseResponse, standing: Option<&State>) -> CaseOutcome {
        let state = &case.state;
        let is_told = self.probes.is_some();
        let nodes = || {
            let anchors = self.model.anchors();
            anchors.map(|anchor| (self.model.anchor_name(anchor).to_owned(), self.moved(state, anchor))).collect()
        };
        CaseOutcome {
            nodes: if is_told { nodes() } else { Named::new() },
            mounts: self
                .model
                .mounts
                .iter()
                .enumerate()
                .map(|(at, mount)| (self.model.anchor_name(mount.at).to_owned(), self.held(state, Origin::Mount(at))))
                .collect(),
            bodies: self.bodies(state),
            wheels: self.wheels(case, standing),
            pickups: self.pickups(case, standing),
            anti_roll: self
                .model
                .anti_roll
                .iter()
                .zip(&case.bars_n)
                .map(|(bar, tension)| (crate::model::AXLES[bar.axle].to_owned(), *tension))
                .collect(),
            members: if is_told { self.members(state) } else { Named::new() },
            accuracy: case.accuracy,
        }
    }

    fn at(&self, state: &State, part: usize, at: &Point3<f64>) -> Moved {
        let (shift, turn) = state.motion(&self.prepared.system, part, at);
        Moved { move_mm: shift, turn_deg: turn.map(f64::to_degrees) }
    }

    fn moved(&self, state: &State, anchor: Anchor) -> Moved {
        self.at(state, self.prepared.system.structure.part_of(anchor), &self.model.anchor_at(anchor))
    }

    fn held(&self, state: &State, origin: Origin) -> Wrench {
        let (force_n, moment) = state.held_by(&self.prepared.system, origin);
        Wrench { force_n, moment_nm: moment / 1000.0 }
    }

    fn bodies(&self, state: &State) -> Named<BodyOutcome> {
        let structure = &self.prepared.system.structure;
        self.model
            .bodies
            .iter()
            .enumerate()
            .map(|(at, (name, body))| {
                let mounts = body
                    .mounts
                    .iter()
                    .enumerate()
                    .map(|(place, mount)| {
                        let name = self.model.anchor_name(mount.at).to_owned();
                        (name, self.held(state, Origin::BodyMount(at, place)))
                    })
                    .collect();
                (name.clone(), BodyOutcome { moved: self.at(state, structure.bodies[at], &body.cg), mounts })
            })
            .collect()
    }

    /// Toe-in, camber and caster from the upright's turn, degrees.
    fn angles(&self, state: &State, corner: usize) -> WheelChange {
        let part = self.prepared.system.structure.uprights[corner];
        let turn_deg = state.parts[part].fixed_rows::<3>(3).map(f64::to_degrees);
        WheelChange::of_turn(self.model.corners[corner].wheel, &turn_deg)
    }

    fn wheels(&self, case: &CaseResponse, standing: Option<&State>) -> Named<WheelOutcome> {
        let factor = self.model.cases[&case.name].factor;
        let mut wheels = Named::new();
        for wheel in Wheel::ALL {
            let corner = self.model.corner_index(wheel);
            let load = case.wheels.wheels[wheel.place()];
            if load.is_none() && corner.is_none() {
                continue;
            }
            let load = load.map_or_else(Wrench::default, |load| Wrench {
                force_n: load.force_n * factor,
                moment_nm: load.moment_nmm * (factor / 1000.0),
            });
            let moved = corner.map(|corner| {
                let part = self.prepared.system.structure.uprights[corner];
                let angles = self.angles(&case.state, corner);
                let from = standing.map_or_else(WheelChange::default, |state| self.angles(state, corner));
                WheelMoved {
                    angles,
                    patch_mm: self.at(&case.state, part, &self.model.corners[corner].contact_patch).move_mm,
                    change: WheelChange {
                        toe_deg: angles.toe_deg - from.toe_deg,
                        camber_deg: angles.camber_deg - from.camber_deg,
                        caster_deg: angles.caster_deg - from.caster_deg,
                    },
                    sources: self.probes.as_ref().map_or_else(WheelSources::default, |probes| {
                        probes.change(self.prepared, corner, &case.state, standing)
                    }),
                }
            });
            wheels.insert(wheel.name().to_owned(), WheelOutcome { load, moved });
        }
        wheels
    }

    fn pickups(&self, case: &CaseResponse, standing: Option<&State>) -> Named<PickupOutcome> {
        let mut loads: Named<Wrench> = Named::new();
        let mut add = |anchor: Anchor, force_n: Vector3<f64>, moment: Vector3<f64>| {
            let wrench = loads.entry(self.model.anchor_name(anchor).to_owned()).or_default();
            wrench.force_n += force_n;
            wrench.moment_nm += moment / 1000.0;
        };
        for (at, node) in self.model.nodes.values().enumerate() {
            if node.pickup {
                add(Anchor::Node(at), Vector3::zeros(), Vector3::zeros());
            }
        }
        for (at, corner) in self.model.corners.iter().enumerate() {
            for (place, tube) in corner.kind.tubes().into_iter().enumerate() {
                let (force, moment) =
                    self.first_end(&case.state, TubeName::Tube(TubeRef::Corner { corner: at, tube: place }));
                add(tube.inner, force, moment);
            }
            if let Some(spring) = corner.kind.spring() {
                let (force, moment) = self.first_end(&case.state, TubeName::Spring(at));
                add(spring.top, force, moment);
            }
        }
        for (bar, tension) in self.model.anti_roll.iter().zip(&case.bars_n) {
            let balance = bar_balance(self.model, bar);
            for (side, force) in bar.sides.iter().zip(balance.on_bearing_n) {
                add(side.bearing, force * tension[0], Vector3::zeros());
            }
        }
        loads
            .into_iter()
            .map(|(name, load)| {
                let anchor = self
                    .model
                    .anchors()
                    .find(|anchor| self.model.anchor_name(*anchor) == name)
                    .expect("the name was taken from an anchor");
                let here = self.moved(&case.state, anchor).move_mm;
                let from = standing.map_or_else(Vector3::zeros, |state| self.moved(state, anchor).move_mm);
                (name, PickupOutcome { load, change_mm: (here - from).norm() })
            })
            .collect()
    }

    /// What the first end of a tube does to its node.
    fn first_end(&self, state: &State, name: TubeName) -> (Vector3<f64>, Vector3<f64>) {
        let system = &self.prepared.system;
        let Some(tube) = system.structure.tube(name) else {
            return (Vector3::zeros(), Vector3::zeros());
        };
        let joint = Origin::Joint(tube, 0);
        if system.structure.ties.iter().any(|tie| tie.origin == joint) {
            let (force, moment) = state.held_by(system, joint);
            return (-force, -moment);
        }
        let piece = system.structure.tubes[tube].pieces.start;
        state.on_part(&system.structure.pieces[piece].axes.rotation, piece, 0)
    }

    fn members(&self, state: &State) -> Named<TubeOutcome> {
        let structure = &self.prepared.system.structure;
        structure
            .tubes
            .iter()
            .enumerate()
            .map(|(at, tube)| {
                let along = tube
                    .pieces
                    .clone()
                    .flat_map(|piece| {
                        let (drawn, solved) = (&structure.pieces[piece], &state.pieces[piece]);
                        [0.0, 0.5, 1.0].map(|part| {
                            let x = drawn.axes.length_mm * part;
                            Station { at_mm: drawn.start_mm + x, forces: solved.diagram.at(x) }
                        })
                    })
                    .collect();
                (structure.tube_name(self.model, at), TubeOutcome { tube: at, along })
            })
            .collect()
    }
}
