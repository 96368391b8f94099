//! The vocabulary: what can be asked of a model, each once, with the tool's unit.

/// What can be asked of a model.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Quantity {
    /// Movement of a node or bracket along a global axis.
    Move(usize),
    /// Turn of a node or bracket about a global axis.
    Turn(usize),
    /// What the ground does to a node.
    MountForce(usize),
    /// The same, moment.
    MountMoment(usize),
    /// What the corner parts do to a pick-up.
    PickupForce(usize),
    /// What a body does to the node of its only mount.
    BodyMoment(usize),
    /// What the joint does to an end of a tube, local axes.
    EndForce(usize),
    /// The same, moment.
    EndMoment(usize),
    /// An internal force or moment, in the order of [`InternalForces`](crate::section::InternalForces).
    Internal(usize),
    /// Stress in a tube.
    Stress(Stress),
    /// Stiffness of the model's twist test.
    TwistStiffness,
    /// Torque of the case's loads about the global x axis over the twist on which they do their work.
    TorqueOverTwist,
    /// A buckling load factor of the case, from 0 on.
    LoadFactor(usize),
    /// At how many times the moments of the case a flat gives way sideways.
    LateralFactor,
    /// A natural frequency, from 0 on.
    Frequency(usize),
    /// Force on a wheel.
    WheelForce(usize),
    /// A figure of the load transfer, of an axle.
    Axle(AxleFigure),
    /// The acceleration at which something lets go.
    Threshold(Threshold),
    /// Shear modulus of a material.
    ShearModulus,
}

/// Stress in a tube.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stress {
    /// Largest von Mises stress along the tube.
    VonMises,
    /// Axial and bending stress at that place.
    Normal,
    /// Torsion and transverse shear at that place, as a magnitude.
    Shear,
    /// Both bending moments as one, at a place of a round tube.
    Moment,
    /// Largest bending stress at a place of a round tube.
    Bending,
    /// Torsion stress at a place of a round tube.
    Torsion,
    /// Transverse shear at the neutral axis at a place of a round tube.
    Transverse,
    /// Torsion and transverse shear at the neutral axis, where they add up.
    Neutral,
}

/// A figure of the load transfer, of an axle.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AxleFigure {
    /// What both wheels carry.
    Load,
    /// What the bend moves from the left to the right wheel.
    Transfer,
}

/// When something lets go, as the car's acceleration is raised.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Threshold {
    /// Lateral: both inner wheels carry nothing.
    RollOver,
    /// The same on a side slope, at rest.
    SideSlope,
    /// Lateral: the inner wheel of an axle carries nothing.
    InnerWheel,
    /// Braking: the rear axle carries nothing.
    RearAxle,
    /// Driving: the front axle carries nothing.
    FrontAxle,
}

/// Each quantity of a model by its name, and the unit in which the tool has it.
pub const QUANTITIES: &[(&str, &str, Quantity)] = &[
    ("move x", "mm", Quantity::Move(0)),
    ("move y", "mm", Quantity::Move(1)),
    ("move z", "mm", Quantity::Move(2)),
    ("turn x", "deg", Quantity::Turn(0)),
    ("turn y", "deg", Quantity::Turn(1)),
    ("turn z", "deg", Quantity::Turn(2)),
    ("mount force x", "N", Quantity::MountForce(0)),
    ("mount force y", "N", Quantity::MountForce(1)),
    ("mount force z", "N", Quantity::MountForce(2)),
    ("mount moment x", "N m", Quantity::MountMoment(0)),
    ("mount moment y", "N m", Quantity::MountMoment(1)),
    ("mount moment z", "N m", Quantity::MountMoment(2)),
    ("pick-up force x", "N", Quantity::PickupForce(0)),
    ("pick-up force y", "N", Quantity::PickupForce(1)),
    ("pick-up force z", "N", Quantity::PickupForce(2)),
    ("body mount moment x", "N m", Quantity::BodyMoment(0)),
    ("body mount moment y", "N m", Quantity::BodyMoment(1)),
    ("body mount moment z", "N m", Quantity::BodyMoment(2)),
    ("end force x", "N", Quantity::EndForce(0)),
    ("end force y", "N", Quantity::EndForce(1)),
    ("end force z", "N", Quantity::EndForce(2)),
    ("end moment x", "N m", Quantity::EndMoment(0)),
    ("end moment y", "N m", Quantity::EndMoment(1)),
    ("end moment z", "N m", Quantity::EndMoment(2)),
    ("n", "N", Quantity::Internal(0)),
    ("vy", "N", Quantity::Internal(1)),
    ("vz", "N", Quantity::Internal(2)),
    ("t", "N m", Quantity::Internal(3)),
    ("my", "N m", Quantity::Internal(4)),
    ("mz", "N m", Quantity::Internal(5)),
    ("peak von Mises stress", "MPa", Quantity::Stress(Stress::VonMises)),
    ("peak normal stress", "MPa", Quantity::Stress(Stress::Normal)),
    ("peak shear stress", "MPa", Quantity::Stress(Stress::Shear)),
    ("bending moment", "N m", Quantity::Stress(Stress::Moment)),
    ("bending stress", "MPa", Quantity::Stress(Stress::Bending)),
    ("torsion stress", "MPa", Quantity::Stress(Stress::Torsion)),
    ("transverse shear stress", "MPa", Quantity::Stress(Stress::Transverse)),
    ("shear stress at the neutral axis", "MPa", Quantity::Stress(Stress::Neutral)),
    ("twist stiffness", "N m/deg", Quantity::TwistStiffness),
    ("torque of the loads over their twist", "N m/deg", Quantity::TorqueOverTwist),
    ("load factor 1", "", Quantity::LoadFactor(0)),
    ("load factor 2", "", Quantity::LoadFactor(1)),
    ("load factor 3", "", Quantity::LoadFactor(2)),
    ("load factor of giving way sideways", "", Quantity::LateralFactor),
    ("frequency 1", "Hz", Quantity::Frequency(0)),
    ("frequency 2", "Hz", Quantity::Frequency(1)),
    ("frequency 3", "Hz", Quantity::Frequency(2)),
    ("frequency 4", "Hz", Quantity::Frequency(3)),
    ("frequency 5", "Hz", Quantity::Frequency(4)),
    ("frequency 6", "Hz", Quantity::Frequency(5)),
    ("wheel force x", "N", Quantity::WheelForce(0)),
    ("wheel force y", "N", Quantity::WheelForce(1)),
    ("wheel force z", "N", Quantity::WheelForce(2)),
    ("axle load", "N", Quantity::Axle(AxleFigure::Load)),
    ("transfer to the outer wheel", "N", Quantity::Axle(AxleFigure::Transfer)),
    ("lateral acceleration at roll-over", "g", Quantity::Threshold(Threshold::RollOver)),
    ("side slope at roll-over", "deg", Quantity::Threshold(Threshold::SideSlope)),
    ("lateral acceleration that lifts the inner wheel", "g", Quantity::Threshold(Threshold::InnerWheel)),
    ("braking that lifts the rear axle", "g", Quantity::Threshold(Threshold::RearAxle)),
    ("drive that lifts the front axle", "g", Quantity::Threshold(Threshold::FrontAxle)),
    ("shear modulus", "MPa", Quantity::ShearModulus),
];
