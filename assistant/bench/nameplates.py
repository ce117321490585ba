"""What is printed on a blower: the ratings a flow asks for, read off a simulated unit."""

from collections.abc import Callable

from assistant.bench.unit import Unit

Printed = Callable[[Unit], float]

NAMEPLATE: dict[str, Printed] = {
    "unit_volts": lambda unit: unit.label.motor_volts,
    "motor_volts": lambda unit: unit.motor.plate.volts,
    "full_load_amps": lambda unit: unit.motor.plate.amps,
    "motor_hp": lambda unit: unit.motor.plate.hp,
    "plate_rpm": lambda unit: unit.motor.plate.rpm,
    "plate_poles": lambda unit: unit.motor.plate.poles,
    "line_hertz": lambda unit: unit.supply.hz,
    "speed_leads": lambda unit: len(unit.motor.taps),
    "static_max": lambda unit: unit.label.static_max,
    "label_cap_uf": lambda unit: unit.motor.plate.capacitor_uf,
    "label_cap_volts": lambda unit: unit.motor.plate.capacitor_volts,
    "cap_uf": lambda unit: unit.capacitor.marked_uf,
    "cap_volts": lambda unit: unit.capacitor.marked_volts,
    "cap_tol": lambda unit: unit.capacitor.tolerance_percent,
    "new_cap_uf": lambda unit: unit.capacitor.marked_uf,
    "new_cap_volts": lambda unit: unit.capacitor.marked_volts,
}
"""One row a value name that flows use; a name that is not here is told as not printed."""
