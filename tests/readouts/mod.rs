//! What is read from drawn corners, against closed forms, mirrored corners and the solver.
//!
//! Points are plane wherever a closed form is asked, so that the textbook's lines can be drawn with
//! a ruler: the formulas are those of plane kinematics and of right-angled triangles.

mod drawn;
mod queries;

use crossbrace::car::{Geometry, Rise, rise, spring_shortens};
use nalgebra::Vector3;
use serde_json::json;

use crate::support::result;
use crate::support::values::{assert_near, assert_none, number};
use drawn::{CG_HEIGHT, Drawn, WHEELBASE};

/// A wheel of which everything can be said about its rise.
#[track_caller]
fn rise_of(read: &Geometry) -> Rise {
    read.rise.unwrap_or_else(|| panic!("{:?}", read.left_out))
}

#[test]
fn level_parallel_equal_wishbones_change_no_camber_and_roll_about_the_ground() {
    let read = Drawn::level_wishbones().read();
    let rise = rise_of(&read);
    assert_none(rise.camber_gain_deg, 1e-12);
    assert_none(rise.bump_steer_deg, 1e-12);
    assert_none(rise.roll_centre_height_mm.unwrap(), 1e-10);
    assert_eq!((rise.centre_front_mm, rise.centre_side_mm), (None, None));
    assert_eq!(read.left_out, Vec::<String>::new());
}

#[test]
fn the_front_view_centre_of_wishbones_is_where_their_lines_cross() {
    // Lower line: z = 180. Upper line: from (350, 380) to (620, 420). They cross at y = −1000.
    let mut drawn = Drawn::level_wishbones();
    drawn.node("UF", [120.0, 350.0, 380.0]);
    drawn.node("UR", [-120.0, 350.0, 380.0]);
    drawn.corner["upper"]["outer"] = json!([0, 620, 420]);
    let rise = rise_of(&drawn.read());
    let [y, z] = rise.centre_front_mm.unwrap();
    assert_near(y, -1000.0, 1e-12);
    assert_near(z, 180.0, 1e-12);
    // From the patch at y = 700 to the centre, at the middle of the car.
    assert_near(rise.roll_centre_height_mm.unwrap(), 700.0 * 180.0 / 1700.0, 1e-12);
    assert_near(rise.camber_gain_deg, -(10.0_f64 / 1700.0).to_degrees(), 1e-12);
    assert_none(rise.bump_steer_deg, 1e-12);
}

#[test]
fn the_front_view_centre_of_a_strut_is_square_to_it_at_its_top() {
    let drawn = Drawn::strut();
    let rise = rise_of(&drawn.read());
    let [y, z] = drawn::strut_centre();
    let found = rise.centre_front_mm.unwrap();
    assert_near(found[0], y, 1e-11);
    assert_near(found[1], z, 1e-11);
    assert_near(rise.roll_centre_height_mm.unwrap(), 700.0 * z / (700.0 - y), 1e-11);
    // All of the shift of the upright's point at the top is along the strut.
    assert_near(rise.motion_ratio, (560.0 - y).hypot(700.0 - z) / (700.0 - y), 1e-11);
    assert_near(rise.wheel_rate_n_mm.unwrap(), 25.0 * rise.motion_ratio * rise.motion_ratio, 1e-12);
}

#[test]
fn a_trailing_arm_square_to_the_car_turns_about_its_pivots() {
    let read = Drawn::trailing_arm("front").read();
    let rise = rise_of(&read);
    let [x, z] = rise.centre_side_mm.unwrap();
    assert_near(x, 400.0, 1e-12);
    assert_near(z, 250.0, 1e-12);
    assert_none(rise.roll_centre_height_mm.unwrap(), 1e-10);
    assert_none(rise.camber_gain_deg, 1e-12);
    assert_eq!(rise.centre_front_mm, None);
    // A lever: the spring stands 300 mm, the wheel 400 mm behind the pivots.
    assert_near(rise.motion_ratio, 300.0 / 400.0, 1e-12);
    assert_near(rise.wheel_rate_n_mm.unwrap(), 40.0 * 0.75 * 0.75, 1e-12);
    // Braked outboard, the patch goes back by 250 for 400 up; driven inboard, the centre forward by 40.
    let over = WHEELBASE / CG_HEIGHT * 100.0;
    assert_near(rise.anti.dive.unwrap(), -0.6 * 250.0 / 400.0 * over, 1e-12);
    assert_near(rise.anti.lift_driven.unwrap(), 0.3 * 40.0 / 400.0 * over, 1e-12);
    assert_eq!((rise.anti.lift_braked, rise.anti.squat), (None, None));
    assert_eq!((read.steering_axis, read.steering_arm), (None, None));
}

#[test]
fn a_rear_arm_in_front_of_the_wheel_holds_the_tail_down_in_braking() {
    let rise = rise_of(&Drawn::trailing_arm("rear").read());
    let over = WHEELBASE / CG_HEIGHT * 100.0;
    assert_near(rise.anti.lift_braked.unwrap(), 0.4 * 250.0 / 400.0 * over, 1e-12);
    // The pivots are 40 mm below the wheel centre, where the shaft pushes.
    assert_near(rise.anti.squat.unwrap(), -0.7 * 40.0 / 400.0 * over, 1e-12);
    assert_eq!((rise.anti.dive, rise.anti.lift_driven), (None, None));
}

#[test]
fn a_pair_of_arms_that_meet_behind_the_front_wheel_carry_its_dive() {
    // Seen from the side the pivot lines slope so that both arms' planes meet in a line through
    // (−1000, 300): a classical swing arm of 1000 mm, whose patch moves forward by 0.3 per mm of rise.
    let mut drawn = Drawn::level_wishbones();
    for (name, x, from) in [("UF", 120.0, 420.0), ("UR", -120.0, 420.0), ("LF", 150.0, 180.0), ("LR", -150.0, 180.0)] {
        drawn.node(name, [x, 350.0, from + (300.0 - from) / -1000.0 * x]);
    }
    // The tie rod lies in the plane of the lower arm, parallel to it.
    let z = 180.0 + 120.0 / -1000.0 * 60.0;
    drawn.node("T", [60.0, 350.0, z]);
    drawn.corner["tie_rod"]["outer"] = json!([60, 650, z]);
    let rise = rise_of(&drawn.read());
    let [x, z] = rise.centre_side_mm.unwrap();
    assert_near(x, -1000.0, 1e-11);
    assert_near(z, 300.0, 1e-11);
    assert_near(rise.anti.dive.unwrap(), 0.6 * 0.3 * WHEELBASE / CG_HEIGHT * 100.0, 1e-11);
}

#[test]
fn the_steering_axis_meets_the_ground_where_its_triangles_say() {
    let mut drawn = Drawn::level_wishbones();
    drawn.corner["lower"]["outer"] = json!([10, 650, 180]);
    drawn.corner["upper"]["outer"] = json!([-20, 620, 420]);
    let axis = drawn.read().steering_axis.unwrap();
    assert_near(axis.caster_deg, (30.0_f64 / 240.0).atan().to_degrees(), 1e-12);
    assert_near(axis.inclination_deg, (30.0_f64 / 240.0).atan().to_degrees(), 1e-12);
    assert_near(axis.trail_mm, 10.0 + 30.0 * 180.0 / 240.0, 1e-12);
    assert_near(axis.scrub_radius_mm, 700.0 - (650.0 + 30.0 * 180.0 / 240.0), 1e-12);
}

#[test]
fn arms_that_point_to_the_middle_of_the_rear_axle_are_whole_ackermann() {
    let toward_middle = 650.0 / WHEELBASE;
    for (x, inboard, percent) in [
        (-120.0, 120.0 * toward_middle, 100.0),
        (-120.0, 60.0 * toward_middle, 50.0),
        (-120.0, -120.0 * toward_middle, -100.0),
        (120.0, -120.0 * toward_middle, 100.0),
    ] {
        let mut drawn = Drawn::level_wishbones();
        drawn.node("T", [x, 350.0, 180.0]);
        drawn.corner["tie_rod"]["outer"] = json!([x, 650.0 - inboard, 180]);
        let arm = drawn.read().steering_arm.unwrap();
        assert_near(arm.ackermann_percent.unwrap(), percent, 1e-12);
        assert_near(arm.length_mm, x.hypot(inboard), 1e-12);
        // The tie rod runs across the car, so that only the arm's part along the car is its lever.
        assert_near(arm.ratio_deg_mm, (1.0 / x).to_degrees(), 1e-12);
    }
}

#[test]
fn a_spring_on_an_arm_has_the_ratio_of_its_lever() {
    let mut drawn = Drawn::level_wishbones();
    drawn.node("S", [0.0, 500.0, 560.0]);
    drawn.corner["spring"] = json!({"top": "S", "bottom": [0, 500, 200], "on": ["lower.front", "lower.rear"]});
    assert_near(rise_of(&drawn.read()).motion_ratio, (500.0 - 350.0) / (650.0 - 350.0), 1e-12);
    drawn.corner["spring"]["on"] = json!("upper.rear");
    assert_near(rise_of(&drawn.read()).motion_ratio, 0.5, 1e-12);
    drawn.corner["spring"]["on"] = json!("upright");
    assert_near(rise_of(&drawn.read()).motion_ratio, 1.0, 1e-12);
}

#[test]
fn both_sides_of_a_car_read_alike() {
    for drawn in Drawn::all() {
        let (left, right) = (drawn.read(), drawn.mirrored().read());
        assert!(left.rise.is_some(), "{:?}", left.left_out);
        drawn::assert_alike(&left, &right, -1.0);
    }
}

#[test]
fn two_wishbones_and_four_links_with_the_same_points_read_alike() {
    let wishbones = Drawn::skew_wishbones();
    let links = wishbones.as_links();
    let (one, other) = (wishbones.read(), links.read());
    assert!(one.steering_axis.is_some() && one.steering_arm.is_some());
    drawn::assert_alike(&one, &other, 1.0);
}

#[test]
fn the_force_in_the_spring_is_that_of_virtual_work() {
    for drawn in Drawn::all() {
        let model = drawn.model();
        let corner = &model.corners[0];
        let motion = rise(&model, corner).unwrap();
        let force_n = Vector3::new(-900.0, 1300.0, 2500.0);
        let expected = -force_n.dot(&motion.of(&corner.contact_patch)) / spring_shortens(&model, corner, &motion);
        let name = corner.wheel.name();
        let members = &result(&model)["cases"]["pushed"]["members"];
        let part = if corner.kind.spring().is_some() { "spring" } else { "strut" };
        let found = number(&members[format!("{name}/{part}")]["along"][0]["n"]);
        assert_near(found, expected, 1e-9);
    }
}

#[test]
fn a_tie_rod_through_the_steering_axis_leaves_two_motions_and_says_so() {
    let mut drawn = Drawn::level_wishbones();
    drawn.node("T", [0.0, 350.0, 300.0]);
    drawn.corner["tie_rod"]["outer"] = json!([0, 650, 300]);
    let read = drawn.read();
    assert_eq!((read.rise, read.steering_arm), (None, None));
    assert_eq!(
        read.left_out,
        [
            "how its wheel rises is left out: with its spring out the upright can move in 2 ways at once, and should in one"
        ]
    );
}

#[test]
fn five_links_without_a_tie_rod_by_name_have_no_steering_axis_and_say_so() {
    let mut drawn = Drawn::skew_wishbones().as_links();
    let links = drawn.corner["links"].as_object_mut().unwrap();
    let rod = links.remove("tie_rod").unwrap();
    links.insert("fifth".to_owned(), rod);
    let read = drawn.read();
    assert!(read.steering_axis.is_none() && read.rise.is_some());
    assert_eq!(
        read.left_out,
        [
            "no steering axis: none of its links is carried by a rack, nor called one of \"tie_rod\", \"tie rod\", \"toe\", \"toe link\""
        ]
    );
}

#[test]
fn the_result_has_the_read_outs_under_the_keys_of_the_format_page() {
    let read = result(&Drawn::skew_wishbones().model())["geometry"]["front.l"].clone();
    let page = std::fs::read_to_string(crate::support::repository_file("models/FORMAT.md")).unwrap();
    let keys: Vec<&String> = read.as_object().unwrap().keys().collect();
    assert_eq!(keys.len(), 16, "{keys:?}");
    for key in keys {
        assert!(page.contains(&format!("`{key}`")), "{key} is not in models/FORMAT.md");
    }
}

/// The same lines, and the patch 50 mm up on a kerb: the line from it starts there.
#[test]
fn the_roll_centre_is_told_over_the_ground_and_not_over_the_patch() {
    let mut drawn = Drawn::level_wishbones();
    drawn.node("UF", [120.0, 350.0, 380.0]);
    drawn.node("UR", [-120.0, 350.0, 380.0]);
    drawn.corner["upper"]["outer"] = json!([0, 620, 420]);
    drawn.corner["contact_patch"] = json!([0, 700, 50]);
    let rise = rise_of(&drawn.read());
    assert_near(rise.roll_centre_height_mm.unwrap(), 50.0 + 700.0 * 130.0 / 1700.0, 1e-12);
}
