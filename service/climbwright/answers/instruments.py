"""The airspeed indicator: what it reads at a calibrated airspeed, and what a reading means.

The owner's table is read as it stands; what a calibration learned of the airspeed system lies between it and the air.
"""

import numpy as np

from climbwright.air.airspeed import read_correction
from climbwright.air.airspeed_error import calibrated_from_reading, reading_from_calibrated
from climbwright.aircraft.description import Aircraft
from climbwright.arrays import Floats, Numbers

__all__ = ["calibrated_of_reading", "reading_of_calibrated"]


def reading_of_calibrated(calibrated: Numbers, stall: Numbers, aircraft: Aircraft) -> Floats:
    """What the indicator reads. [m/s]

    Parameters
    ----------
    calibrated, stall : array_like
        Calibrated airspeed, and that of the stall at this weight. [m/s]
    aircraft : Aircraft
        With the owner's table and the errors learned, or neither.

    Returns
    -------
    numpy.ndarray
        Reading; nan outside the table. [m/s]
    """
    errors, table = aircraft.airspeed_errors, aircraft.airspeed_correction
    read = np.asarray(calibrated)
    if errors is not None:
        read = reading_from_calibrated(read, stall, errors.near_stall, errors.cruise)
    return read_correction(read, [p.calibrated for p in table], [p.indicated for p in table]) if table else read


def calibrated_of_reading(reading: Numbers, stall: Numbers, aircraft: Aircraft) -> Floats:
    """The calibrated airspeed of a reading, the inverse of `reading_of_calibrated`. [m/s]

    Parameters
    ----------
    reading, stall : array_like
        What the indicator reads, and the calibrated stall speed at this weight. [m/s]
    aircraft : Aircraft
        As `reading_of_calibrated`.

    Returns
    -------
    numpy.ndarray
        Calibrated airspeed; nan outside the table. [m/s]
    """
    errors, table = aircraft.airspeed_errors, aircraft.airspeed_correction
    read = np.asarray(reading)
    if table:
        read = read_correction(read, [p.indicated for p in table], [p.calibrated for p in table])
    return read if errors is None else calibrated_from_reading(read, stall, errors.near_stall, errors.cruise)
