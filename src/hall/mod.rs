//! Sensors and the converter: from flux density to volts to counts.
