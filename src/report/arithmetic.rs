//! How the wheel loads of a case came about, line by line, so that a calculator follows.

use crate::car::WheelLoads;
use crate::model::{Effort, Model, Vehicle, Wheel};
use crate::units::{GRAVITY_M_S2, decimals, figures};

/// The lines of a case.
pub fn lines(model: &Model, name: &str, wheels: &WheelLoads) -> Vec<String> {
    let case = &model.cases[name];
    let mut lines = Vec::new();
    if case.no_wheels {
        lines.push("No wheel forces: a frame alone, or a car in the air.".to_owned());
    }
    if let (Some(transfer), Some(vehicle), Some(g)) = (&wheels.transfer, &model.vehicle, case.g) {
        lines.extend(transfer_lines(vehicle, transfer, g, case.air_n));
    }
    for wheel in Wheel::ALL {
        if let Some(load) = wheels.wheels[wheel.place()].filter(|load| load.given) {
            let force: Vec<String> = load.force_n.iter().map(|force| newton(*force)).collect();
            lines.push(format!("{}: given in the file, [{}] N", wheel.name(), force.join(", ")));
        }
    }
    if case.factor != 1.0 {
        lines.push(format!("All loads of this case are then multiplied by {}.", figures(case.factor, 4)));
    }
    if lines.is_empty() {
        lines.push("No wheel force acts in this case.".to_owned());
    }
    lines
}

/// Newtons without digits after the point.
fn newton(value: f64) -> String {
    decimals(value, 0)
}

fn transfer_lines(
    vehicle: &Vehicle,
    transfer: &crate::car::Transfer,
    [long, lat, vert]: [f64; 3],
    air_n: [f64; 2],
) -> Vec<String> {
    let wheelbase = vehicle.wheelbase_mm;
    let rear = vehicle.cg_behind_front_axle_mm;
    let height = vehicle.cg_height_mm;
    let length = |value: f64| decimals(value, 0);
    let mut lines = vec![format!(
        "Weight: {} kg × {GRAVITY_M_S2} m/s² = {} N",
        decimals(vehicle.mass_kg, 1),
        newton(transfer.weight_n)
    )];
    let air = |force: f64| if force == 0.0 { String::new() } else { format!(" + {} N of downforce", newton(force)) };
    let vertical = if vert == 1.0 { String::new() } else { format!(" × {}", figures(vert, 3)) };
    let pitch = |onto: f64| match onto {
        0.0 => String::new(),
        _ => format!(" {} {} N", if onto > 0.0 { "+" } else { "−" }, newton(onto.abs())),
    };
    if transfer.to_front_n != 0.0 {
        lines.push(format!(
            "Pitch: {} N × {} g × {} mm / {} mm = {} N onto the {} axle",
            newton(transfer.weight_n),
            figures(long.abs(), 3),
            length(height),
            length(wheelbase),
            newton(transfer.to_front_n.abs()),
            if transfer.to_front_n > 0.0 { "front" } else { "rear" }
        ));
    }
    lines.push(format!(
        "Front axle: {} N{vertical} × {} mm / {} mm{}{} = {} N",
        newton(transfer.weight_n),
        length(wheelbase - rear),
        length(wheelbase),
        pitch(transfer.to_front_n),
        air(air_n[0]),
        newton(transfer.axle_n[0])
    ));
    lines.push(format!(
        "Rear axle: {} N{vertical} × {} mm / {} mm{}{} = {} N",
        newton(transfer.weight_n),
        length(rear),
        length(wheelbase),
        pitch(-transfer.to_front_n),
        air(air_n[1]),
        newton(transfer.axle_n[1])
    ));
    if vehicle.cg_left_mm != 0.0 {
        lines.push(format!(
            "Centre of gravity {} mm left of the middle: {} N onto the front left wheel and off the right, {} N at the rear",
            length(vehicle.cg_left_mm),
            newton(transfer.offset_to_left_n[0]),
            newton(transfer.offset_to_left_n[1])
        ));
    }
    if lat != 0.0 {
        let shares = [vehicle.lateral_transfer_share_front, 1.0 - vehicle.lateral_transfer_share_front];
        for (at, axle) in ["front", "rear"].into_iter().enumerate() {
            let (asked, moved) = (transfer.to_right_asked_n[at], transfer.to_right_n[at]);
            let lifted = if (asked - moved).abs() > 1e-6 * asked.abs() {
                format!("; an inner wheel lifts, so it is {} N", newton(moved))
            } else {
                String::new()
            };
            lines.push(format!(
                "From left to right, {axle}: {} × {} N × {} g × {} mm / {} mm = {} N{lifted}",
                figures(shares[at], 3),
                newton(transfer.weight_n),
                figures(lat, 3),
                length(height),
                length(vehicle.track_mm[at]),
                newton(asked)
            ));
        }
        lines.push(format!(
            "Side force: front {} N, rear {} N, shared left and right by wheel load",
            newton(transfer.side_n[0]),
            newton(transfer.side_n[1])
        ));
    }
    if let Some(effort) = transfer.effort {
        let word = if effort == Effort::Braked { "braking" } else { "driving" };
        let shares: Vec<String> = Wheel::ALL
            .iter()
            .filter(|wheel| transfer.share[wheel.place()] > 0.0)
            .map(|wheel| {
                let most = transfer
                    .most_n
                    .map_or(String::new(), |most| format!(" (at most {} N)", newton(most[wheel.place()])));
                format!("{} {}{most}", wheel.name(), figures(transfer.share[wheel.place()], 3))
            })
            .collect();
        lines.push(format!("Along the car: {} N by {word}, shared {}", newton(transfer.long_n), shares.join(", ")));
    }
    lines
}
