"""What is taken where the file is silent; every use of one is printed with the result."""

from __future__ import annotations

LAMP_COLD = 12.0
"""Hot resistance of a lamp over its cold one. From memory."""
LAMP_EXPONENT = 0.45
"""R ~ V^0.45, so that I ~ V^0.55. From memory."""
DIODE_SATURATION_A = 1e-9
"""With `DIODE_IDEALITY` a silicon diode of 0.97 V at 1 A. From memory."""
DIODE_IDEALITY = 1.8
CONTACT_OHM = 0.005
"""A closed switch or relay contact. From memory."""
DRIVER_OHM = 0.05
"""An output that is on. From memory."""
BATTERY_OHM = 0.010
"""A healthy starter battery; varies 3 to 5 times with charge and temperature. From memory."""
ALTERNATOR_OHM = 0.001
"""What a working regulator leaves: it holds its voltage up to its amps. From memory."""
LAMP_TERMINAL_OHM = 0.5
COPPER_C = 20.0
"""Copper temperature when the design gives no ambient temperature."""
COIL_OHM = {12.0: 85.0, 24.0: 255.0}
"""Nominal volts -> a plug-in relay's coil. Source: relay data sheets as quoted at
scribd.com/document/708256632: 12 V 60 to 90 ohm, 75 or 85 typical; 24 V 255 ohm."""
PULLS_IN_SHARE = 0.67
"""Of nominal voltage. Source: neuralfibre.com: a 12 V relay pulls in at about 8 to 9 V."""
DROPS_OUT_SHARE = 0.33
"""Of nominal voltage. Source: neuralfibre.com: it holds at about 4 V."""
LEAST_SHARE = 0.75
"""Of its voltage: below it a constant-current or constant-power load gives way. From memory."""
ALTERNATOR_SHARE = 14.2 / 12
"""Charging voltage over nominal. From memory."""
THERMAL_V = 0.025865
"""k T / q at 27 degC, the temperature diode facts of a design hold at."""
