//! `models/model.schema.json` against models that the program accepts and refuses.

#[cfg(test)]
mod tests {
    use std::path::{Path, PathBuf};

    use jsonschema::Validator;
    use serde_json::{Value, json};

    fn repository() -> PathBuf {
        Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
    }

    fn read(path: &Path) -> Value {
        let text = std::fs::read_to_string(path).unwrap_or_else(|error| panic!("{}: {error}", path.display()));
        serde_json::from_str(&text).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
    }

    fn schema() -> Validator {
        jsonschema::validator_for(&read(&repository().join("models/model.schema.json"))).unwrap()
    }

    fn models_in(folder: &str) -> Vec<PathBuf> {
        let mut models: Vec<PathBuf> = std::fs::read_dir(repository().join(folder))
            .unwrap()
            .map(|entry| entry.unwrap().path())
            .filter(|path| path.to_string_lossy().ends_with(".json") && !path.ends_with("model.schema.json"))
            .collect();
        models.sort();
        assert!(!models.is_empty(), "no models in {folder}");
        models
    }

    fn problems(schema: &Validator, model: &Value) -> Vec<String> {
        schema.iter_errors(model).map(|error| format!("{}: {error}", error.instance_path())).collect()
    }

    #[test]
    fn the_schema_takes_every_model_of_the_repository() {
        let schema = schema();
        for folder in ["models", "tests/models", "tests/reference/models"] {
            for path in models_in(folder) {
                assert_eq!(problems(&schema, &read(&path)), Vec::<String>::new(), "{}", path.display());
            }
        }
    }

    /// A copy of the demo with a value set at a JSON pointer.
    fn demo_with(pointer: &str, value: Value) -> Value {
        let mut demo = read(&repository().join("models/hillclimb-front-subframe.json"));
        let (parent, key) = pointer.rsplit_once('/').unwrap();
        demo.pointer_mut(parent).and_then(Value::as_object_mut).unwrap().insert(key.to_owned(), value);
        demo
    }

    #[test]
    fn the_schema_refuses_what_the_program_refuses_by_shape() {
        let schema = schema();
        let broken = [
            ("/spring", json!(1)),
            ("/format", json!("1")),
            ("/nodes/N", json!([430, 0])),
            ("/nodes/N", json!(null)),
            ("/tubes/main", json!({"round": {"od": 38}, "material": "E235+N"})),
            ("/tubes/main", json!({"round": {"od": 38, "wall": 2}, "material": "E235+N", "colour": "red"})),
            ("/members/nose cross.l/tube", json!(7)),
            ("/mounts/C.l", json!("glued")),
            ("/cases/left bend/brake", json!("hard")),
        ];
        for (pointer, value) in broken {
            let model = demo_with(pointer, value.clone());
            assert_ne!(problems(&schema, &model), Vec::<String>::new(), "{pointer} = {value} was taken");
        }
    }
}
