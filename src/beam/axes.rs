//! Local axes of a beam.

use nalgebra::{Matrix3, Point3, Vector3};

/// A tube nearer to vertical than this takes its z from global X.
pub const VERTICAL_WITHIN_DEG: f64 = 5.0;

/// Direction and length of a beam, and which way its y and z point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Axes {
    /// Rows are local x, y, z in global directions: local = `rotation` × global.
    pub rotation: Matrix3<f64>,
    /// Length, mm.
    pub length_mm: f64,
}

/// Whether a direction is within [`VERTICAL_WITHIN_DEG`] of the vertical.
pub fn is_near_vertical(direction: &Vector3<f64>) -> bool {
    let across = direction.x.hypot(direction.y);
    across <= VERTICAL_WITHIN_DEG.to_radians().tan() * direction.z.abs()
}

impl Axes {
    /// Axes of a beam from `first` to `second`.
    ///
    /// z is the part of `up` square to x (default: global Z, or global X for a tube near
    /// vertical), y = z × x; `roll_rad` then turns y and z about x, right-handed. `None` where the
    /// ends coincide or `up` lies along the beam.
    pub fn between(first: &Point3<f64>, second: &Point3<f64>, up: Option<Vector3<f64>>, roll_rad: f64) -> Option<Axes> {
        let along = second - first;
        let length_mm = along.norm();
        let x = along.try_normalize(0.0)?;
        let up = up.unwrap_or_else(|| if is_near_vertical(&along) { Vector3::x() } else { Vector3::z() });
        let up = up.try_normalize(0.0)?;
        let z = (up - x * up.dot(&x)).try_normalize(1e-6)?;
        let y = z.cross(&x);
        let (sin, cos) = roll_rad.sin_cos();
        let (y, z) = (y * cos + z * sin, z * cos - y * sin);
        Some(Axes { rotation: Matrix3::from_rows(&[x.transpose(), y.transpose(), z.transpose()]), length_mm })
    }

    /// Direction of the beam.
    pub fn x(&self) -> Vector3<f64> {
        self.rotation.row(0).transpose()
    }

    /// Local y.
    pub fn y(&self) -> Vector3<f64> {
        self.rotation.row(1).transpose()
    }

    /// Local z.
    pub fn z(&self) -> Vector3<f64> {
        self.rotation.row(2).transpose()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn axes(second: [f64; 3], up: Option<[f64; 3]>, roll_deg: f64) -> Axes {
        Axes::between(&Point3::origin(), &Point3::from(second), up.map(Vector3::from), roll_deg.to_radians()).unwrap()
    }

    #[test]
    fn a_tube_along_x_has_y_left_and_z_up() {
        let axes = axes([2.0, 0.0, 0.0], None, 0.0);
        assert_eq!((axes.y(), axes.z(), axes.length_mm), (Vector3::y(), Vector3::z(), 2.0));
    }

    #[test]
    fn a_vertical_tube_takes_z_from_global_x() {
        let up = axes([0.0, 0.0, 3.0], None, 0.0);
        assert_eq!((up.y(), up.z()), (-Vector3::y(), Vector3::x())); // y = z × x = X × Z
        let down = axes([0.0, 0.0, -3.0], None, 0.0);
        assert_eq!((down.y(), down.z()), (Vector3::y(), Vector3::x()));
        let (inside, outside) = (4.9_f64.to_radians(), 5.1_f64.to_radians());
        assert!(axes_z([inside.sin(), 0.0, inside.cos()]).x > 0.9);
        assert!(axes_z([outside.sin(), 0.0, outside.cos()]).z > 0.0);
        fn axes_z(second: [f64; 3]) -> Vector3<f64> {
            axes(second, None, 0.0).z()
        }
    }

    #[test]
    fn roll_turns_right_handed_about_the_tube() {
        let axes = axes([1.0, 0.0, 0.0], None, 90.0);
        assert!((axes.y() - Vector3::z()).norm() < 1e-15 && (axes.z() + Vector3::y()).norm() < 1e-15);
    }

    #[test]
    fn up_along_the_tube_gives_no_axes() {
        let end = Point3::new(1.0, 1.0, 0.0);
        assert_eq!(Axes::between(&Point3::origin(), &end, Some(Vector3::new(2.0, 2.0, 0.0)), 0.0), None);
        assert_eq!(Axes::between(&end, &end, None, 0.0), None);
    }
}
