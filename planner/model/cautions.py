"""The cautions that every result carries: a line for the terminal, a paragraph for reports and screens."""

CAUTION = (
    "Planning estimates, not well-control, barrier or safety advice: confirm pressures, differentials and rates "
    "against equipment ratings, local regulations and company standards, by qualified people, before any job."
)

CAUTIONS = (
    "These are planning estimates, not well-control, barrier or safety advice. Pressures, differentials and rates must "
    "be confirmed against the equipment's own rating, local regulations and company standards by qualified people "
    "before any job.",
    "Sand, water and pressure limits are inputs of this case, never guesses of the program: a limit that was not given "
    "was not checked, and a limit that holds here says no more than that the number typed in was not crossed.",
    "A forecast follows from one set of inputs. Where the rock, the fluids or the contacts are uncertain, so is every "
    "number in this document; compare what-ifs with one another rather than trusting one of them alone.",
)
