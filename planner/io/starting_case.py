"""The commented case that 'new' writes: every key of a case, with what it means."""

from __future__ import annotations

from planner.io.starting_plan import STARTING_PLAN

_CASE = """\
# A case of blankwise: one well, its rock, its string, and what you want to ask of it.
#
# Numbers with a unit stand in quotes with the unit behind them: "2500 ft", "210 bar", "300 sm3/d". Units may be mixed.
# Depths are measured along the hole unless the words say true vertical. Dates are year-month-day without quotes.
# A line that begins with '#' is not read: take the '#' away to use the key. Tables may stand here or in CSV files.

title = "My well"
units = "metric"                 # what is shown: "metric" or "field"
zones = ["upper", "lower"]       # names of the zones, top to bottom; left out: zone 1, zone 2 ...


# ---------------------------------------------------------------- the well

[well]
name = "My well 1"
kind = "oil producer"            # "oil producer", "gas producer", "water injector", "gas injector"
hole_diameter = "8.5 in"         # constant; or a table:  hole = { file = "hole.csv" }  with the columns md, diameter
                                 # (and measured: false where there is no caliper)
                                 # or a caliper log:      hole = { log = "my.las", curve = "CALI" }

[well.survey]                    # deviation survey; left out: vertical
file = "survey.csv"              # columns: md, inclination (from vertical), azimuth (from north, clockwise)


# ---------------------------------------------------------------- the rock

[[compartments]]                 # rock in one initial pressure and contact equilibrium
name = "sand A"
datum = "1000 m"                 # true vertical depth of the pressure
pressure = "105 bar"             # initial, at the datum
oil_water_contact = "1060 m"     # true vertical depth; left out: no mobile water
# gas_oil_contact = "980 m"      # true vertical depth; left out: no gas cap
# gas_water_contact = "1060 m"   # true vertical depth, gas wells

[layers]
file = "layers.csv"              # one row a layer, from top to bottom. Columns:
# name, top md, base md          # where it lies along the hole
# compartment, rock              # names from [[compartments]] and [[rocks]]
# permeability, porosity
# vertical to horizontal         # permeability ratio kv/kh; left out: 0.1
# net to gross                   # left out: 1
# geometry                       # "radial" (left out), "along hole" (horizontal section) or "linear" (a slab)
# drainage radius                # radial and along hole
# length, width                  # of a linear slab: away from the well, and across
# thickness                      # true vertical; left out: from the survey
# skin                           # damage skin; left out: 0
# damaged radius, damaged permeability   # from the axis of the hole: damage skin by Hawkins 1956, added to skin
# deviation skin                 # true: add the skin of a slanted hole (Cinco-Ley et al. 1975)
# partial entry                  # true: add the skin of what is not open of the layer (exact series)
# turbulence                     # rate-dependent skin per m3/s of surface gas
# forchheimer                    # non-Darcy coefficient of the rock, gas; or
# forchheimer method             # "geertsma 1974" or "firoozabadi-katz 1979"
# pressure, water saturation     # initial; left out: from the compartment
# support                        # name from [supports]; left out: closed
# cells                          # rings of this layer; left out: numerics.cells
# connected below                # whether rock lets flow through to the next layer down: true or false
#
# Or from a log by cut-offs, instead of the file:
# log = "my.las"
# initial_saturation = false                                            # true: water saturation from the log
# curves = { gamma_ray = "GR", shale_volume = "VSH", porosity = "PHIE", water_saturation = "SW", permeability = "PERM" }
# gamma_ray_scale = { clean = 20, shale = 120 }                          # shale volume where the log has none
# permeability_from_porosity = { permeability = "200 md", at = 0.22, decades = 18 }   # where the log has none
# [layers.cutoffs]
# gamma_ray = 75                                                         # most
# shale_volume = 0.4                                                     # most
# porosity = 0.12                                                        # least
# water_saturation = 0.6                                                 # most
# permeability = "5 md"                                                  # least
# minimum_thickness = "1 m"
# maximum_gap = "0.5 m"                                                  # net rock closer than this is one layer
# [[layers.intervals]]                                                   # what the layers between two depths get
# name = "sand A"
# top_md = "1000 m"
# base_md = "1030 m"
# compartment = "sand A"
# rock = "sand"
# support = "aquifer"
# drainage_radius = "400 m"

[[rocks]]                        # a rock type
name = "sand"
compressibility = "4e-5 1/bar"

[rocks.relative_permeability]
form = "corey"                   # "corey" (exponents) or "let" (three numbers a curve)
connate_water = 0.20
residual_oil_to_water = 0.25
# residual_oil_to_gas = 0.10
# critical_gas = 0.05
# residual_gas_to_water = 0.25   # trapped gas
water_end_point = 0.35           # of water at residual oil
# oil_end_point = 1.0            # of oil at connate water
# gas_end_point = 0.8            # of gas at connate water and residual oil
water_exponent = 3.0
oil_exponent = 2.0               # against water
# oil_gas_exponent = 2.0         # oil against gas
# gas_exponent = 2.0
# water_let = [2.0, 2.0, 1.5]    # L, E, T for form = "let"
# oil_let = [2.0, 2.0, 1.5]
# oil_gas_let = [2.0, 2.0, 1.5]
# gas_let = [2.0, 2.0, 1.5]


# What holds up the pressure at the outer boundary of the layers that name it.
# Kinds: "closed", "constant pressure", "fetkovich aquifer", "carter-tracy aquifer", "injector".

[supports.aquifer]
kind = "fetkovich aquifer"
volume = "500000 e3m3"           # water in place; e3m3 is 1000 m3
compressibility = "9e-5 1/bar"   # water and rock; both kinds of aquifer
productivity_index = "100 sm3/day/bar"

[supports.edge]                  # a water injector next door
kind = "constant pressure"
fluid = "water"                  # what flows in: "water", "oil", "gas" or "own" (the layer's fluid)
# pressure = "105 bar"           # left out: initial

# [supports.big]
# kind = "carter-tracy aquifer"
# permeability = "200 md"
# porosity = 0.2
# thickness = "20 m"
# radius = "800 m"               # inner
# encroachment_angle = "180 deg"
# compressibility = "9e-5 1/bar"

# [supports.neighbour]
# kind = "injector"
# rate = "200 sm3/d"             # either a rate at surface conditions
# voidage_replacement = 1.0      # or a share of the volume that the layer gives


# ---------------------------------------------------------------- the fluids

[fluid]
temperature = "50 degC"          # of the reservoir

[fluid.oil]
method = "correlation"           # "correlation", "constant" or "table"
api = 30                         # or:  density = "876 kg/m^3"  of stock-tank oil
solution_gas_ratio = "40 sm3/sm3"
correlation = "standing 1947"    # or "vasquez-beggs 1980"
# bubble_point = "80 bar"        # measured; the correlation is scaled to meet it
# viscosity = "2 cP"             # constant oil
# formation_volume_factor = "1.15 m^3/sm3"   # constant oil, at reference_pressure
# compressibility = "1e-4 1/bar" # above the bubble point; left out: correlation
# viscosity_slope = "1e-4 1/bar" # relative growth of viscosity with pressure
# reference_pressure = "105 bar" # left out: that of the first compartment
# table = { file = "oil.csv" }   # columns: pressure, solution gas ratio, formation volume factor, viscosity

[fluid.gas]
# method = "correlation"         # "correlation", "ideal" or "table"
gravity = 0.7                    # air = 1
# carbon_dioxide = 0.0
# hydrogen_sulphide = 0.0
# nitrogen = 0.0
# viscosity = "0.015 cP"         # ideal gas
# table = { file = "gas.csv" }   # columns: pressure, formation volume factor, viscosity

[fluid.water]
# method = "correlation"         # "correlation" or "constant"
salinity = 0.03                  # mass of salt per mass of brine
# density = "1020 kg/m^3"        # at surface
# viscosity = "0.5 cP"
# formation_volume_factor = "1.01 m^3/sm3"   # at reference_pressure
# compressibility = "4e-5 1/bar"
# reference_pressure = "105 bar"


# ---------------------------------------------------------------- the string

[string]
file = "string.csv"              # one row an element, from top to bottom, each beginning where the one above ends.
# kind                           # casing, hanger, screen, blank pipe, isolation joint, open hole, packer, plug,
#                                # perforated casing, inner pipe (hangs inside the bore; one a string)
# open top                       # inner pipe: true for no packer round its top
# name                           # left out: kind and number, such as screen 2
# top md, base md                # packers and plugs sit inside a blank pipe
# screen                         # conforming, stand-alone or gravel pack
# inner diameter, outer diameter
# roughness
# linear loss, quadratic loss    # screen: pressure loss per velocity, per velocity squared
# plugging                       # screen: growth of linear loss per volume passed per screen area
# gravel permeability, gravel turbulence   # of a pack; gravel turbulence is its Forchheimer coefficient
# cemented                       # blank pipe: true for cement outside, no annulus
# perforations                   # perforated casing: a name from [perforations]
# nozzle area, nozzle coefficient   # screen or blank pipe with nozzles, which "set valve" turns
# leak                           # of a seal or packer; 0: tight
# differential rating            # of a seal, packer or plug

# [perforations.gun]             # a way of perforating; perforated casing names it
# shot_density = "39 1/m"
# phasing = "60 deg"             # 0, 45, 60, 90, 120 or 180 deg
# length = "0.3 m"               # of a tunnel, beyond the hole wall
# entrance_diameter = "10 mm"
# crushed_thickness = "12 mm"    # of the crushed rock round a tunnel; 0: none
# crushed_permeability = 0.2     # as a share of the rock's

# Other ways of completing this well: a what-if with  completion = "stand-alone"  is run on the same well completed
# that way from the start. Give those that your what-ifs name.
# [completions.conforming]       # completion = "conforming"
# inner_diameter = "121 mm"
# linear_loss = "20 bar/(m/s)"
# [completions.stand_alone]      # completion = "stand-alone"
# inner_diameter = "100 mm"
# outer_diameter = "135 mm"
# isolation_joints = "blank pipe"   # or "kept", as packers against the hole
# [completions.gravel_pack]      # completion = "gravel pack"; gravel round the blank pipe too
# inner_diameter = "100 mm"
# outer_diameter = "135 mm"
# isolation_joints = "kept"
# gravel_permeability = "100 darcy"
# gravel_turbulence = "1e4 1/m"
# [completions.perforated_casing]   # completion = "perforated casing"
# inner_diameter = "157 mm"
# outer_diameter = "178 mm"
# perforations = "gun"
# intervals = [ { top_md = "1000 m", base_md = "1010 m" } ]   # left out: where the string has screens


[later_element]                  # what a packer, plug or straddle set later needs
length = "3 m"
depth_tolerance = "1.5 m"        # how far off depth it may be set, each way
differential_rating = "300 bar"
straddle_inner_diameter = "50 mm"


# [tubing]                       # from the wellhead to the top of the string; needed for a wellhead pressure
# inner_diameter = "76 mm"
# method = "beggs-brill 1973"    # hagedorn-brown 1965, gray 1974, drift flux 2005, gas column, liquid column
# surface_temperature = "15 degC"
# gas_lift = { depth_md = "950 m", rate = "20 e3m3/day" }
# pump = { depth_md = "950 m", stages = 60, curve = [
#   { rate = "50 sm3/d", head = "8 m" }, { rate = "200 sm3/d", head = "4 m" } ] }


# ---------------------------------------------------------------- controls, limits, money

[[controls]]                     # holds from its date on; of all that are given, the tightest holds
date = 2030-01-01
# shut = false
bottom_hole_pressure = "70 bar"  # least for a producer, most for an injector, at the top of the string
liquid_rate = "150 sm3/d"
# oil_rate = "150 sm3/d"
# water_rate = "100 sm3/d"
# gas_rate = "20 e3m3/day"
# drawdown = "30 bar"            # most, over all open zones
# wellhead_pressure = "12 bar"   # least for a producer, most for an injector; needs [tubing]

[limits]                         # watched in every state; left out: not watched
sand_drawdown = "40 bar"         # drawdown at which sand may come
# screen_velocity = "0.01 m/s"   # over the screen's outer area
# seal_differential = "150 bar"  # for seals without a rating of their own
# bore_velocity = "10 m/s"
# erosional_constant = "100 ft/s*(lb/ft^3)^0.5"   # C of API RP 14E: velocity C / sqrt(density), string and tubing
# liquid_loading = "turner 1969" # gas producers; or "coleman 1991"
# fracture_pressure = "180 bar"  # injectors
# water_handling = "150 sm3/d"
# oil_rate_economic = "10 sm3/d" # least oil rate that pays

[economics]                      # one currency of your choice
currency = "USD"                 # what it is called in tables
oil_price = "400 1/sm3"          # per sm3 or per bbl: "60 1/bbl"; constant, or until the first row of prices
gas_price = "80 1/e3m3"
# prices = { file = "prices.csv" }  # price deck with columns date, oil price [1/bbl], gas price [1/Mcf]; or rows:
# prices = [ { date = 2032-01-01, oil_price = "420 1/sm3" }, { date = 2035-01-01, gas_price = "90 1/e3m3" } ]
# oil_cost = "5 1/sm3"           # handling, transport
# gas_cost = "4 1/e3m3"
water_cost = "10 1/sm3"          # handling of produced water
# injection_cost = "3 1/sm3"     # water injectors
# gas_injection_cost = "9 1/e3m3"
operating_cost = 1.0e6           # per year
# economic_limit = true          # the well is given up, at no cost, where it would only lose money from then on
# price_escalation = 0.02        # per year, from the reference date
# cost_escalation = 0.02
discount_rate = 0.10
# discounting = "end of month"   # "end of month", "mid-month", "end of year", "mid-year"
# reference_date = 2030-01-01    # values are of this date; left out: the start of the schedule
# royalty = 0.1
# tax = 0.3
# economic_limit = true          # the well is given up where it would only lose money from then on
# losses = "relief"              # "relief": a loss lowers other tax at once; "carried forward": to later years
intervention_cost = 1.0e6        # of each job without a cost or a way of its own
# rig_rate = "200000 1/day"      # of the rig that runs the string
# rig_time = "4 day"             # to run the string, beside the time of its elements

# [economics.ways.wireline]      # ways of doing jobs, by names of your own; a job says way = "wireline"
# cost = 0.3e6                   # of each job
# daily_cost = "40000 1/day"     # on top, for as long as it takes
# duration = "4 day"             # the well is shut in for as long
# chance = 0.9                   # of success
# rig_time = "10 day"            # of a rig, for the portfolio; left out: no rig is needed

# [economics.default_ways]       # the way of jobs that name none
# "shut zone" = "wireline"

# [economics.elements.screen]    # what the string costs and how fast it is run: screen, "blank pipe", packer, straddle
# each = 20000
# per_length = "3000 1/m"
# joint_length = "12 m"
# running_speed = "200 m/hour"
# expansion_speed = "60 m/hour"  # left out: not expanded

# [late_life]                    # what `cure` looks at
# today = 2034-01-01             # day of the decision; left out: the start of the schedule
# jobs = ["shut zone", "choke zone"]  # left out: all that the string allows
# nozzle_area = "60 mm^2"        # of a choke
# stimulated_skin = 0.0
# lifts = [ { name = "lower wellhead pressure", wellhead_pressure = "8 bar", way = "wireline" } ]
#                                # each with gas_lift, pump, inner_diameter, wellhead_pressure or bottom_hole_pressure

[schedule]
start = 2030-01-01
end = 2040-01-01
report = "month"                 # "month", "quarter" or "year"

[numerics]                       # how finely to compute; the defaults do for most cases
cells = 12                       # rings or slabs a layer
# near_well_cells = 4            # of these, fine ones near the well
# fronts = "resolved"            # "resolved": sharp water fronts; "upstream": plain, smears them
# vertical_flow = false          # flow between the layers of a zone through the rock
# friction = true
# wellbore_inflow = true         # acceleration along the string, friction changed by inflow through its wall
# gravity = true
# piece_length = "30 m"          # longest piece of bore
inner_diameter = "120 mm"        # of the string where an element gives none
# tolerance = 1.0e-3
# longest_step = "31 day"
# first_step = "0.01 day"


"""
_WHAT_IFS = """\
# ---------------------------------------------------------------- what if ...
# Each has a name and events. An event happens on = a date, or when = a condition, watched at every report date:
# when = { zone = "lower", water_cut_above = 0.8, after = 2032-01-01, delay = "30 day" }
# with one of water_cut_above, gas_oil_ratio_above, oil_rate_below, water_rate_above, pressure_below; no
# zone: the whole well.
# cost = 0.5e6 is the cost of the job, way = "wireline" how it is done; without both: economics.intervention_cost.
# duration = "5 day" and chance = 0.8 are those of this job, where they are not those of its way.

[[what_ifs]]
name = "shut lower when wet"
description = "Plug off the lower zone once most of what it makes is water."
[[what_ifs.events]]
do = "shut zone"
zone = "lower"
when = { zone = "lower", water_cut_above = 0.8 }

# [[what_ifs]]                   # the same well completed another way from the start, see [completions]
# name = "screens that stand alone"
# completion = "stand-alone"     # "conforming", "stand-alone", "gravel pack" or "perforated casing"

# Other things that can happen:
# do = "open zone"        with zone
# do = "set plug"         with blank: everything deeper is shut in
# do = "set straddle"     with upper_blank, lower_blank; nozzle_area = "60 mm^2" to let it flow through a nozzle
# do = "choke zone"       with zone, nozzle_area
# do = "set skin"         with zone, skin: lower is stimulation, higher is damage
# do = "leak seal"        with element, conductance = "1 m^3/day/bar"
# do = "plug screen"      with zone, remaining = 0.2 (share of the inflow), over = "365 day"
# do = "lose support"     with support, remaining = 0.0
# do = "early water"      with zone, by = 2033-01-01 (neither on nor when), layer, share = 0.3, water_cut = 0.05
# do = "change control"   with shut, bottom_hole_pressure, wellhead_pressure, oil_rate, liquid_rate, water_rate,
#                         gas_rate or drawdown
# do = "set valve"        with element (one that has nozzles), opening = 0.5 (share of their area; 0: closed)
# do = "change lift"      with gas_lift, pump or inner_diameter of the tubing


# ---------------------------------------------------------------- what is not known for sure
# Read by 'ensemble'. A path names an input: layers.A1.permeability, layers.*.skin (all), zones.upper.permeability,
# supports.aquifer.volume, "string.seal 1.leak", what_ifs.NAME.events.0.skin (lists count from 0).
# P90 is the low case: exceeded with a probability of 90 %.

# [[uncertain]]
# name = "permeability of A2"
# path = "layers.A2.permeability"         # or paths = [ ... ]: several inputs that take the same draw
# acts_as = "value"                       # or "multiplier" (of the case's), "shift" (added to it)
# kind = "lognormal"                      # normal, lognormal: two or three of p90, p50, p10; or mean and sd
# p90 = "250 md"
# p50 = "400 md"
# p10 = "640 md"
# at_least = "50 md"                      # at_most: cut off
# kind = "triangular": low, likely, high;  "uniform": low, high;  "discrete": values = [ ... ], weights = [ ... ]
# kind = "table": table = [ { value = "5 m", below = 0.0 }, { value = "9 m", below = 1.0 } ]

# [[correlation]]
# between = ["permeability of A1", "permeability of A2"]
# rank = 0.6                              # Spearman; or normal = 0.6, of the normals of a Gaussian copula

# [[alternatives]]                        # exactly one choice holds
# name = "contact of sand A"
# choices = [
#   { name = "as logged", probability = 0.7, set = {} },
#   { name = "deep", probability = 0.3, set = { "compartments.sand A.oil_water_contact" = "+5 m" } },
# ]

# [[failures]]                            # at a drawn date; the same in every what-if
# name = "seal 1 leaks"
# do = "leak seal"                        # with element, conductance; "plug screen" with zone, remaining, over;
# element = "seal 1"                      # "lose support" with support, remaining
# conductance = "1 m^3/day/bar"
# rate = 0.02                             # a year (exponential); or scale = "20 year", shape = 2 (Weibull)
# do = "job fails" with job = "shut zone", zone (left out: every zone), success = 0.9: its chance of success


# ---------------------------------------------------------------- what was measured
# Read by 'match', which brings the [[uncertain]] ranges to it. 'inspect FILE' shows how a table is understood.
# One measurement a line: date, kind, zone (or layer; none: the well), value, unit, error, since (start of a mean);
# kinds: oil rate, water rate, liquid rate, gas rate, water cut, gas-oil ratio, bottom-hole pressure, wellhead pressure,
# formation pressure, cumulative oil, cumulative water, cumulative gas, liquid share, gas share, kh, skin.
# Or one column a quantity: date or month, zone, oil rate [m3/d], oil volume [m3], producing days, water cut ...

# [measured]
# file = "measured.csv"                   # or files = [ { file = "production.csv" }, { file = "pressures.csv" } ]
# errors = { "bottom-hole pressure" = "2 bar", "oil rate" = "5 %", "water cut" = "0.02" }     # one standard deviation
# control = "liquid rate"                 # the measured history controls the well, then [[controls]]; or "none" ...
# date_format = "day first"               # "month first", "excel 1904"; only where the table leaves it open
# decimal = "comma"                       # "point"; the same
# rates = "producing day"                 # "calendar day", "of the day"; the same
# dates = "end of period"                 # "start of period"; the same
# units = { "oil volume" = "m3" }         # of columns without one
# well = "A-1"                            # which well of the table
"""

_SURVEY = """\
md [m],inclination [deg],azimuth [deg]
0,0,0
400,0,0
700,10,90
1080,10,90
"""

_LAYERS = """\
name,top md [m],base md [m],compartment,permeability [md],porosity,rock,net to gross,drainage radius [m],skin,support
A1,1000,1008,sand A,400,0.22,sand,1.0,400,1,aquifer
A2,1022,1034,sand A,400,0.20,sand,0.9,180,1,edge
"""

_STRING = """\
kind,name,top md [m],base md [m],inner diameter [mm]
hanger,hanger,982,985,120
blank pipe,blank 1,985,996,120
screen,screen 1,996,1010,120
isolation joint,seal 1,1010,1012,120
blank pipe,blank 2,1012,1020,120
screen,screen 2,1020,1038,120
"""

STARTING_FILES: dict[str, str] = {
    "survey.csv": _SURVEY,
    "layers.csv": _LAYERS,
    "string.csv": _STRING,
    "case.toml": _CASE + STARTING_PLAN + _WHAT_IFS,
}
