//! Points and lines from other programs into a model, and points out of it.

mod any_bytes;
mod lines;
mod table;

use snapbox::{IntoData, assert_data_eq};

use crate::support::program::{Ran, Scratch};
use crate::support::read;

/// A folder with the front of a small car in it, `car.json`.
fn car() -> Scratch {
    let folder = Scratch::new();
    folder.write("car.json", read("models/car.json"));
    folder
}

/// Runs `points car.json FILE` with this file, and whatever else is asked for.
fn points(folder: &Scratch, file: &str, text: impl AsRef<[u8]>, options: &[&str]) -> Ran {
    folder.write(file, text);
    folder.run(["points", "car.json", file].iter().chain(options))
}

/// It is refused with this message, and the model and the folder are as they were.
#[track_caller]
fn refused(folder: &Scratch, file: &str, text: impl AsRef<[u8]>, options: &[&str], message: impl IntoData) {
    let before = folder.read("car.json");
    let ran = points(folder, file, text, options);
    assert_data_eq!(ran.stderr, message.into_data().raw());
    assert_eq!((ran.code, ran.stdout.as_str()), (Some(2), ""));
    assert_eq!(folder.read("car.json"), before);
    assert_eq!(folder.names(), ["car.json", file]);
}

/// It is done, and this is said on stdout and stderr.
#[track_caller]
fn done(ran: &Ran, stdout: impl IntoData, stderr: impl IntoData) {
    assert_data_eq!(ran.stdout.as_str(), stdout.into_data().raw());
    assert_data_eq!(ran.stderr.as_str(), stderr.into_data().raw());
    assert_eq!(ran.code, Some(0));
}

/// The model differs from the text of the car in these places alone.
#[track_caller]
fn changed(folder: &Scratch, places: &[(&str, &str)]) {
    let mut expected = read("models/car.json");
    for (from, to) in places {
        assert_eq!(expected.matches(from).count(), 1, "{from:?} must stand once in the model");
        expected = expected.replace(from, to);
    }
    assert_eq!(folder.read("car.json"), expected);
}
