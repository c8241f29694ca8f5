"""The part of the starting case on what comes before the string is run; commented out, to be filled in."""

from __future__ import annotations

STARTING_PLAN = """\
# ---------------------------------------------------------------- before the string is run
# What `suit` judges hole and sand against. All of it is optional: what is not given is reported as missing.

# [suitability]
# barrier_length = "3 m"            # shale at least this long parts two sands
# strength_relation = ""            # "mcnally 1987": from slowness; "vernik 1993": from the porosity of the layers
# depleted_pressure = "60 bar"      # for drawdown late in life
# sieves = { file = "sieves.csv" }  # columns sample, md [m], size [um], coarser (cumulative share)
# strengths = { file = "strengths.csv" }  # columns md [m], strength [MPa] or slowness [us/ft]; or a sonic log:
#                                   # strengths = { log = "well.las", curve = "DT" }

# [suitability.conforming]          # so stand_alone and gravel_pack; perforated: cased, without sand control
# least_hole = "8.3 in"
# greatest_hole = "9.6 in"          # to which it can be expanded, or which it fits
# washout_tolerance = "0.5 m"       # longest stretch of wider hole that does not count
# opening = "230 um"                # slot width or weave opening

# [suitability.gravel_pack]
# least_hole = "8.3 in"
# greatest_hole = "11 in"
# opening = "300 um"                # of the screen that holds the gravel
# gravel_median = "800 um"
# gravel_least = "600 um"

# [suitability.seal]
# least_hole = "8.3 in"
# greatest_hole = "9.3 in"
# length = "3 m"                    # of gauge hole that a seal needs

# [suitability.stress]              # total, gradients from the surface
# overburden = "0.226 bar/m"
# greatest_horizontal = "0.19 bar/m"
# least_horizontal = "0.17 bar/m"
# azimuth_of_greatest = "40 deg"
# poisson = 0.25
# biot = 1.0
# friction_angle = "32 deg"
# strength_factor = 1.0             # strength of a hole's wall over unconfined strength

# [suitability.fluid_test]          # particle test of the fluid in the hole
# clean = true
# remaining = 0.5                   # after a test that failed: share of the screen's inflow that is left
# skin = 5.0                        # or skin of the rock

# How `split` may place seals and blanks, on whole joints (economics.elements gives joint lengths, costs, speeds).

# [split]
# barrier_length = "3 m"            # shortest gap between layers that counts as barrier
# low_net = 0.2                     # layers of this net-to-gross or less count as barrier
# top_md = "985 m"                  # where the joints begin; left out: below the hanger
# base_md = "1050 m"                # deepest end; left out: one joint below the pay
# pup_joint = "3 m"                 # short blank joints, to space out
# most_seals = 2
# most_cost = 5.0e6
# trips = 2                         # into the hole, to run and expand the string
# trip_time = "12 hour"
# cost_weight = 0.7                 # net present value of a unit of cost; left out: after tax, from the base
# barriers = [ { top_md = "1012 m", base_md = "1020 m" } ]  # in place of the gaps
# rules = [ { water_cut_above = 0.8 }, { water_cut_above = 0.95 } ]  # when a zone would be shut: the best counts
# futures = [ { what_if = "", weight = 0.7 } ]  # what-ifs that may come to pass, with weights; "": the base
# values = { file = "values.csv" }  # columns sand, to, value: worth of shutting; left out: by forecasts
# pay = { file = "pay.csv" }        # columns sand, upper [1/m], middle [1/m], lower [1/m]: worth of screen
# pins = [ { what = "seal", barrier = "upper / lower" } ]
# forbids = [ { what = "blank", top_md = "1000 m", base_md = "1004 m" } ]


"""
