"""The screens: what an asset team keeps open while it weighs what-ifs."""
