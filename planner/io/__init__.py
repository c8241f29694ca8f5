"""Case folder to model and back: TOML, CSV, LAS; what is wrong with them in words; exports."""
