"""Ground floor: units, constants, errors and method cards. Imports no other room."""
