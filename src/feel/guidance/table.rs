//! The rows of [`guidance`](crate::feel::guidance::types), as printed in their sources.
//!
//! A row: name, kind of control, motion, quantity, bound, printed value and unit, source, provenance, note. A rule that holds for several kinds of control has a
//! row for each, under one name.

use crate::feel::guidance::ControlKind::{FingerStick, Hand, Lever, Pedals, Stick, Wheel};
use crate::feel::guidance::GuidanceBound::{Greatest, Least, Nominal};
use crate::feel::guidance::GuidanceMotion::{Any, ForeAft, Lateral, Pitch, Roll, Yaw};
use crate::feel::guidance::GuidanceQuantity::{
    Adjustment, Breakout, Deflection, FootAngle, JustNoticeable, ProlongedForce, Resistance,
    Strength, StructureForce, StructureTorque, TemporaryForce, Travel, TravelOneWay,
};
use crate::feel::guidance::PrintedUnit::{
    Decanewton, Degree, Fraction, Inch, Lbf, LbfInPerIn, Millimeter, Newton,
};
use crate::feel::guidance::{
    ControlKind, FlyingQualityLevel, GradientRule, GuidanceBound, GuidanceFigure, GuidanceMotion,
    GuidanceQuantity, PrintedUnit, WeightRule,
};
use crate::source::Provenance::{self, FromMemory, Seen};

#[rustfmt::skip]
pub(in crate::feel) const ROWS: &[GuidanceFigure] = &[
    // maximum pilot forces, temporary application
    row("cfr23_143_temporary/stick_pitch", Stick, Pitch, TemporaryForce, Greatest, 60.0, Lbf, "14 CFR 23.143(c), edition of 2014", Seen, "withdrawn from part 23 in 2017"),
    row("cfr23_143_temporary/stick_roll", Stick, Roll, TemporaryForce, Greatest, 30.0, Lbf, "14 CFR 23.143(c), edition of 2014", Seen, "withdrawn from part 23 in 2017"),
    row("cfr23_143_temporary/wheel_two_hands_pitch", Wheel, Pitch, TemporaryForce, Greatest, 75.0, Lbf, "14 CFR 23.143(c), edition of 2014", Seen, "withdrawn from part 23 in 2017; two hands on the rim"),
    row("cfr23_143_temporary/wheel_two_hands_roll", Wheel, Roll, TemporaryForce, Greatest, 50.0, Lbf, "14 CFR 23.143(c), edition of 2014", Seen, "withdrawn from part 23 in 2017; two hands on the rim"),
    row("cfr23_143_temporary/wheel_one_hand_pitch", Wheel, Pitch, TemporaryForce, Greatest, 50.0, Lbf, "14 CFR 23.143(c), edition of 2014", Seen, "withdrawn from part 23 in 2017; one hand on the rim"),
    row("cfr23_143_temporary/wheel_one_hand_roll", Wheel, Roll, TemporaryForce, Greatest, 25.0, Lbf, "14 CFR 23.143(c), edition of 2014", Seen, "withdrawn from part 23 in 2017; one hand on the rim"),
    // rudder force limit and prolonged application limits
    row("cfr23_143_yaw_prolonged/rudder_temporary", Pedals, Yaw, TemporaryForce, Greatest, 150.0, Lbf, "14 CFR 23.143(c), edition of 2014", FromMemory, "withdrawn from part 23 in 2017"),
    row("cfr23_143_yaw_prolonged/pitch_prolonged", Stick, Pitch, ProlongedForce, Greatest, 10.0, Lbf, "14 CFR 23.143(c), edition of 2014", FromMemory, "withdrawn from part 23 in 2017"),
    row("cfr23_143_yaw_prolonged/pitch_prolonged", Wheel, Pitch, ProlongedForce, Greatest, 10.0, Lbf, "14 CFR 23.143(c), edition of 2014", FromMemory, "withdrawn from part 23 in 2017"),
    row("cfr23_143_yaw_prolonged/roll_prolonged", Stick, Roll, ProlongedForce, Greatest, 5.0, Lbf, "14 CFR 23.143(c), edition of 2014", FromMemory, "withdrawn from part 23 in 2017"),
    row("cfr23_143_yaw_prolonged/roll_prolonged", Wheel, Roll, ProlongedForce, Greatest, 5.0, Lbf, "14 CFR 23.143(c), edition of 2014", FromMemory, "withdrawn from part 23 in 2017"),
    row("cfr23_143_yaw_prolonged/yaw_prolonged", Pedals, Yaw, ProlongedForce, Greatest, 20.0, Lbf, "14 CFR 23.143(c), edition of 2014", FromMemory, "withdrawn from part 23 in 2017"),
    // maximum control forces, wheel controls
    row("cfr25_143/short_two_hands_pitch", Wheel, Pitch, TemporaryForce, Greatest, 75.0, Lbf, "14 CFR 25.143", Seen, "transport category; two hands on the rim"),
    row("cfr25_143/short_two_hands_roll", Wheel, Roll, TemporaryForce, Greatest, 50.0, Lbf, "14 CFR 25.143", Seen, "transport category; two hands on the rim"),
    row("cfr25_143/short_one_hand_pitch", Wheel, Pitch, TemporaryForce, Greatest, 50.0, Lbf, "14 CFR 25.143", Seen, "transport category; one hand on the rim"),
    row("cfr25_143/short_one_hand_roll", Wheel, Roll, TemporaryForce, Greatest, 25.0, Lbf, "14 CFR 25.143", Seen, "transport category; one hand on the rim"),
    row("cfr25_143/short_yaw", Pedals, Yaw, TemporaryForce, Greatest, 150.0, Lbf, "14 CFR 25.143", Seen, "transport category"),
    row("cfr25_143/long_pitch", Wheel, Pitch, ProlongedForce, Greatest, 10.0, Lbf, "14 CFR 25.143", Seen, "transport category"),
    row("cfr25_143/long_roll", Wheel, Roll, ProlongedForce, Greatest, 5.0, Lbf, "14 CFR 25.143", Seen, "transport category"),
    row("cfr25_143/long_yaw", Pedals, Yaw, ProlongedForce, Greatest, 20.0, Lbf, "14 CFR 25.143", Seen, "transport category"),
    // limit pilot forces for structure, design weight up to 5000 lb
    row("cfr23_397/aileron_stick_max", Stick, Roll, StructureForce, Greatest, 67.0, Lbf, "14 CFR 23.397", Seen, "limit load of the structure, design weight up to 5000 lb: strength, not feel"),
    row("cfr23_397/aileron_stick_min", Stick, Roll, StructureForce, Least, 40.0, Lbf, "14 CFR 23.397", Seen, "limit load of the structure, design weight up to 5000 lb: strength, not feel"),
    row("cfr23_397/aileron_wheel_max", Wheel, Roll, StructureTorque, Greatest, 50.0, LbfInPerIn, "14 CFR 23.397", Seen, "limit load of the structure, design weight up to 5000 lb: strength, not feel"),
    row("cfr23_397/aileron_wheel_min", Wheel, Roll, StructureTorque, Least, 40.0, LbfInPerIn, "14 CFR 23.397", Seen, "limit load of the structure, design weight up to 5000 lb: strength, not feel"),
    row("cfr23_397/elevator_stick_max", Stick, Pitch, StructureForce, Greatest, 167.0, Lbf, "14 CFR 23.397", Seen, "limit load of the structure, design weight up to 5000 lb: strength, not feel"),
    row("cfr23_397/elevator_stick_min", Stick, Pitch, StructureForce, Least, 100.0, Lbf, "14 CFR 23.397", Seen, "limit load of the structure, design weight up to 5000 lb: strength, not feel"),
    row("cfr23_397/elevator_wheel_max", Wheel, Pitch, StructureForce, Greatest, 200.0, Lbf, "14 CFR 23.397", Seen, "limit load of the structure, design weight up to 5000 lb: strength, not feel"),
    row("cfr23_397/elevator_wheel_min", Wheel, Pitch, StructureForce, Least, 100.0, Lbf, "14 CFR 23.397", Seen, "limit load of the structure, design weight up to 5000 lb: strength, not feel"),
    row("cfr23_397/rudder_max", Pedals, Yaw, StructureForce, Greatest, 200.0, Lbf, "14 CFR 23.397", Seen, "limit load of the structure, design weight up to 5000 lb: strength, not feel"),
    row("cfr23_397/rudder_min", Pedals, Yaw, StructureForce, Least, 150.0, Lbf, "14 CFR 23.397", Seen, "limit load of the structure, design weight up to 5000 lb: strength, not feel"),
    // limit pilot forces for structure, transport
    row("cfr25_397/aileron_stick_max", Stick, Roll, StructureForce, Greatest, 100.0, Lbf, "14 CFR 25.397", Seen, "limit load of the structure, transport category: strength, not feel"),
    row("cfr25_397/aileron_stick_min", Stick, Roll, StructureForce, Least, 40.0, Lbf, "14 CFR 25.397", Seen, "limit load of the structure, transport category: strength, not feel"),
    row("cfr25_397/aileron_wheel_max", Wheel, Roll, StructureTorque, Greatest, 80.0, LbfInPerIn, "14 CFR 25.397", Seen, "limit load of the structure, transport category: strength, not feel"),
    row("cfr25_397/elevator_stick_max", Stick, Pitch, StructureForce, Greatest, 250.0, Lbf, "14 CFR 25.397", Seen, "limit load of the structure, transport category: strength, not feel"),
    row("cfr25_397/elevator_stick_min", Stick, Pitch, StructureForce, Least, 100.0, Lbf, "14 CFR 25.397", Seen, "limit load of the structure, transport category: strength, not feel"),
    row("cfr25_397/elevator_wheel_max", Wheel, Pitch, StructureForce, Greatest, 300.0, Lbf, "14 CFR 25.397", Seen, "limit load of the structure, transport category: strength, not feel"),
    row("cfr25_397/rudder_max", Pedals, Yaw, StructureForce, Greatest, 300.0, Lbf, "14 CFR 25.397", Seen, "limit load of the structure, transport category: strength, not feel"),
    row("cfr25_397/rudder_min", Pedals, Yaw, StructureForce, Least, 130.0, Lbf, "14 CFR 25.397", Seen, "limit load of the structure, transport category: strength, not feel"),
    // rudder pedal travel and adjustment
    row("mil_f_18372_pedals/travel_forward", Pedals, Yaw, TravelOneWay, Nominal, 4.0, Inch, "MIL-F-18372 (Aer), 3.2.1.2.4", Seen, "forward"),
    row("mil_f_18372_pedals/travel_aft", Pedals, Yaw, TravelOneWay, Nominal, 4.0, Inch, "MIL-F-18372 (Aer), 3.2.1.2.4", Seen, "aft"),
    row("mil_f_18372_pedals/adjust_forward", Pedals, Yaw, Adjustment, Nominal, 3.0, Inch, "MIL-F-18372 (Aer), 3.2.1.2.4", Seen, "forward"),
    row("mil_f_18372_pedals/adjust_aft", Pedals, Yaw, Adjustment, Nominal, 3.0, Inch, "MIL-F-18372 (Aer), 3.2.1.2.4", Seen, "aft"),
    row("mil_f_18372_pedals/adjust_step_max", Pedals, Yaw, Adjustment, Greatest, 1.0, Inch, "MIL-F-18372 (Aer), 3.2.1.2.4", Seen, "step of the adjustment"),
    // allowable breakout forces, classes I, II-C, IV
    row("mil8785_breakout_I_IIC_IV/pitch_stick_min", Stick, Pitch, Breakout, Least, 0.5, Lbf, "MIL-F-8785C (1980), 3.5.2.1; also MIL-STD-1797", FromMemory, "classes I, II-C, IV; friction included"),
    row("mil8785_breakout_I_IIC_IV/pitch_stick_max", Stick, Pitch, Breakout, Greatest, 3.0, Lbf, "MIL-F-8785C (1980), 3.5.2.1; also MIL-STD-1797", FromMemory, "classes I, II-C, IV; friction included"),
    row("mil8785_breakout_I_IIC_IV/pitch_wheel_min", Wheel, Pitch, Breakout, Least, 0.5, Lbf, "MIL-F-8785C (1980), 3.5.2.1; also MIL-STD-1797", FromMemory, "classes I, II-C, IV; friction included"),
    row("mil8785_breakout_I_IIC_IV/pitch_wheel_max", Wheel, Pitch, Breakout, Greatest, 4.0, Lbf, "MIL-F-8785C (1980), 3.5.2.1; also MIL-STD-1797", FromMemory, "classes I, II-C, IV; friction included"),
    row("mil8785_breakout_I_IIC_IV/roll_stick_min", Stick, Roll, Breakout, Least, 0.5, Lbf, "MIL-F-8785C (1980), 3.5.2.1; also MIL-STD-1797", FromMemory, "classes I, II-C, IV; friction included"),
    row("mil8785_breakout_I_IIC_IV/roll_stick_max", Stick, Roll, Breakout, Greatest, 2.0, Lbf, "MIL-F-8785C (1980), 3.5.2.1; also MIL-STD-1797", FromMemory, "classes I, II-C, IV; friction included"),
    row("mil8785_breakout_I_IIC_IV/roll_wheel_min", Wheel, Roll, Breakout, Least, 0.5, Lbf, "MIL-F-8785C (1980), 3.5.2.1; also MIL-STD-1797", FromMemory, "classes I, II-C, IV; friction included"),
    row("mil8785_breakout_I_IIC_IV/roll_wheel_max", Wheel, Roll, Breakout, Greatest, 3.0, Lbf, "MIL-F-8785C (1980), 3.5.2.1; also MIL-STD-1797", FromMemory, "classes I, II-C, IV; friction included"),
    row("mil8785_breakout_I_IIC_IV/pedals_min", Pedals, Yaw, Breakout, Least, 1.0, Lbf, "MIL-F-8785C (1980), 3.5.2.1; also MIL-STD-1797", FromMemory, "classes I, II-C, IV; friction included"),
    row("mil8785_breakout_I_IIC_IV/pedals_max", Pedals, Yaw, Breakout, Greatest, 7.0, Lbf, "MIL-F-8785C (1980), 3.5.2.1; also MIL-STD-1797", FromMemory, "classes I, II-C, IV; friction included"),
    // allowable breakout forces, classes II-L, III
    row("mil8785_breakout_IIL_III/pitch_stick_min", Stick, Pitch, Breakout, Least, 0.5, Lbf, "MIL-F-8785C (1980), 3.5.2.1; also MIL-STD-1797", FromMemory, "classes II-L, III; friction included"),
    row("mil8785_breakout_IIL_III/pitch_stick_max", Stick, Pitch, Breakout, Greatest, 5.0, Lbf, "MIL-F-8785C (1980), 3.5.2.1; also MIL-STD-1797", FromMemory, "classes II-L, III; friction included"),
    row("mil8785_breakout_IIL_III/pitch_wheel_min", Wheel, Pitch, Breakout, Least, 0.5, Lbf, "MIL-F-8785C (1980), 3.5.2.1; also MIL-STD-1797", FromMemory, "classes II-L, III; friction included"),
    row("mil8785_breakout_IIL_III/pitch_wheel_max", Wheel, Pitch, Breakout, Greatest, 7.0, Lbf, "MIL-F-8785C (1980), 3.5.2.1; also MIL-STD-1797", FromMemory, "classes II-L, III; friction included"),
    row("mil8785_breakout_IIL_III/roll_stick_min", Stick, Roll, Breakout, Least, 0.5, Lbf, "MIL-F-8785C (1980), 3.5.2.1; also MIL-STD-1797", FromMemory, "classes II-L, III; friction included"),
    row("mil8785_breakout_IIL_III/roll_stick_max", Stick, Roll, Breakout, Greatest, 4.0, Lbf, "MIL-F-8785C (1980), 3.5.2.1; also MIL-STD-1797", FromMemory, "classes II-L, III; friction included"),
    row("mil8785_breakout_IIL_III/roll_wheel_min", Wheel, Roll, Breakout, Least, 0.5, Lbf, "MIL-F-8785C (1980), 3.5.2.1; also MIL-STD-1797", FromMemory, "classes II-L, III; friction included"),
    row("mil8785_breakout_IIL_III/roll_wheel_max", Wheel, Roll, Breakout, Greatest, 6.0, Lbf, "MIL-F-8785C (1980), 3.5.2.1; also MIL-STD-1797", FromMemory, "classes II-L, III; friction included"),
    row("mil8785_breakout_IIL_III/pedals_min", Pedals, Yaw, Breakout, Least, 1.0, Lbf, "MIL-F-8785C (1980), 3.5.2.1; also MIL-STD-1797", FromMemory, "classes II-L, III; friction included"),
    row("mil8785_breakout_IIL_III/pedals_max", Pedals, Yaw, Breakout, Greatest, 14.0, Lbf, "MIL-F-8785C (1980), 3.5.2.1; also MIL-STD-1797", FromMemory, "classes II-L, III; friction included"),
    // maximum roll control force
    row("mil8785_roll_force/L1_stick_I_IIC_IV", Stick, Roll, TemporaryForce, Greatest, 20.0, Lbf, "MIL-F-8785C (1980); also MIL-STD-1797", FromMemory, "level 1, classes I, II-C, IV"),
    row("mil8785_roll_force/L1_wheel_I_IIC_IV", Wheel, Roll, TemporaryForce, Greatest, 40.0, Lbf, "MIL-F-8785C (1980); also MIL-STD-1797", FromMemory, "level 1, classes I, II-C, IV"),
    row("mil8785_roll_force/L1_stick_IIL_III", Stick, Roll, TemporaryForce, Greatest, 25.0, Lbf, "MIL-F-8785C (1980); also MIL-STD-1797", FromMemory, "level 1, classes II-L, III"),
    row("mil8785_roll_force/L1_wheel_IIL_III", Wheel, Roll, TemporaryForce, Greatest, 50.0, Lbf, "MIL-F-8785C (1980); also MIL-STD-1797", FromMemory, "level 1, classes II-L, III"),
    row("mil8785_roll_force/L2_stick", Stick, Roll, TemporaryForce, Greatest, 30.0, Lbf, "MIL-F-8785C (1980); also MIL-STD-1797", FromMemory, "level 2"),
    row("mil8785_roll_force/L2_wheel", Wheel, Roll, TemporaryForce, Greatest, 60.0, Lbf, "MIL-F-8785C (1980); also MIL-STD-1797", FromMemory, "level 2"),
    row("mil8785_roll_force/L3_stick", Stick, Roll, TemporaryForce, Greatest, 35.0, Lbf, "MIL-F-8785C (1980); also MIL-STD-1797", FromMemory, "level 3"),
    row("mil8785_roll_force/L3_wheel", Wheel, Roll, TemporaryForce, Greatest, 70.0, Lbf, "MIL-F-8785C (1980); also MIL-STD-1797", FromMemory, "level 3"),
    // pedal displacement limits
    row("mil1472_pedal_displacement/normal_min", Pedals, Any, Travel, Least, 13.0, Millimeter, "MIL-STD-1472F, foot-operated pedals", FromMemory, "normal operation"),
    row("mil1472_pedal_displacement/normal_max", Pedals, Any, Travel, Greatest, 65.0, Millimeter, "MIL-STD-1472F, foot-operated pedals", FromMemory, "normal operation"),
    row("mil1472_pedal_displacement/heavy_boots_min", Pedals, Any, Travel, Least, 25.0, Millimeter, "MIL-STD-1472F, foot-operated pedals", FromMemory, "heavy boots"),
    row("mil1472_pedal_displacement/heavy_boots_max", Pedals, Any, Travel, Greatest, 65.0, Millimeter, "MIL-STD-1472F, foot-operated pedals", FromMemory, "heavy boots"),
    row("mil1472_pedal_displacement/ankle_min", Pedals, Any, Travel, Least, 25.0, Millimeter, "MIL-STD-1472F, foot-operated pedals", FromMemory, "worked from the ankle"),
    row("mil1472_pedal_displacement/ankle_max", Pedals, Any, Travel, Greatest, 65.0, Millimeter, "MIL-STD-1472F, foot-operated pedals", FromMemory, "worked from the ankle"),
    row("mil1472_pedal_displacement/leg_min", Pedals, Any, Travel, Least, 25.0, Millimeter, "MIL-STD-1472F, foot-operated pedals", FromMemory, "worked with the leg"),
    row("mil1472_pedal_displacement/leg_max", Pedals, Any, Travel, Greatest, 180.0, Millimeter, "MIL-STD-1472F, foot-operated pedals", FromMemory, "worked with the leg"),
    // pedal resistance limits
    row("mil1472_pedal_resistance/foot_off_min", Pedals, Any, Resistance, Least, 18.0, Newton, "MIL-STD-1472F, foot-operated pedals", FromMemory, "foot not resting on the pedal"),
    row("mil1472_pedal_resistance/foot_off_max", Pedals, Any, Resistance, Greatest, 90.0, Newton, "MIL-STD-1472F, foot-operated pedals", FromMemory, "foot not resting on the pedal"),
    row("mil1472_pedal_resistance/foot_on_min", Pedals, Any, Resistance, Least, 45.0, Newton, "MIL-STD-1472F, foot-operated pedals", FromMemory, "foot resting on the pedal"),
    row("mil1472_pedal_resistance/foot_on_max", Pedals, Any, Resistance, Greatest, 90.0, Newton, "MIL-STD-1472F, foot-operated pedals", FromMemory, "foot resting on the pedal"),
    row("mil1472_pedal_resistance/ankle_only_max", Pedals, Any, Resistance, Greatest, 45.0, Newton, "MIL-STD-1472F, foot-operated pedals", FromMemory, "worked from the ankle"),
    row("mil1472_pedal_resistance/leg_min", Pedals, Any, Resistance, Least, 45.0, Newton, "MIL-STD-1472F, foot-operated pedals", FromMemory, "worked with the leg"),
    row("mil1472_pedal_resistance/leg_max", Pedals, Any, Resistance, Greatest, 800.0, Newton, "MIL-STD-1472F, foot-operated pedals", FromMemory, "worked with the leg"),
    // lever resistance and displacement
    row("mil1472_lever/fore_aft_one_hand_min", Lever, ForeAft, Resistance, Least, 9.0, Newton, "MIL-STD-1472F, levers", FromMemory, "one hand"),
    row("mil1472_lever/fore_aft_one_hand_max", Lever, ForeAft, Resistance, Greatest, 135.0, Newton, "MIL-STD-1472F, levers", FromMemory, "one hand"),
    row("mil1472_lever/fore_aft_two_hand_max", Lever, ForeAft, Resistance, Greatest, 220.0, Newton, "MIL-STD-1472F, levers", FromMemory, "two hands"),
    row("mil1472_lever/lateral_one_hand_min", Lever, Lateral, Resistance, Least, 9.0, Newton, "MIL-STD-1472F, levers", FromMemory, "one hand"),
    row("mil1472_lever/lateral_one_hand_max", Lever, Lateral, Resistance, Greatest, 90.0, Newton, "MIL-STD-1472F, levers", FromMemory, "one hand"),
    row("mil1472_lever/lateral_two_hand_max", Lever, Lateral, Resistance, Greatest, 135.0, Newton, "MIL-STD-1472F, levers", FromMemory, "two hands"),
    row("mil1472_lever/fore_aft_travel_max", Lever, ForeAft, Travel, Greatest, 360.0, Millimeter, "MIL-STD-1472F, levers", FromMemory, ""),
    row("mil1472_lever/lateral_travel_max", Lever, Lateral, Travel, Greatest, 970.0, Millimeter, "MIL-STD-1472F, levers", FromMemory, ""),
    // hand-operated displacement joystick resistance and angle
    row("mil1472_displacement_stick/resistance_min", FingerStick, Any, Resistance, Least, 3.3, Newton, "MIL-STD-1472F, displacement joysticks", FromMemory, ""),
    row("mil1472_displacement_stick/resistance_max", FingerStick, Any, Resistance, Greatest, 8.9, Newton, "MIL-STD-1472F, displacement joysticks", FromMemory, ""),
    row("mil1472_displacement_stick/angle_max", FingerStick, Any, Deflection, Greatest, 45.0, Degree, "MIL-STD-1472F, displacement joysticks", FromMemory, ""),
    // maximum pilot effort in sailplanes
    row("cs22_143/pitch_temporary", Stick, Pitch, TemporaryForce, Greatest, 20.0, Decanewton, "EASA CS-22, CS 22.143", FromMemory, "sailplanes"),
    row("cs22_143/roll_temporary", Stick, Roll, TemporaryForce, Greatest, 10.0, Decanewton, "EASA CS-22, CS 22.143", FromMemory, "sailplanes"),
    row("cs22_143/yaw_temporary", Pedals, Yaw, TemporaryForce, Greatest, 40.0, Decanewton, "EASA CS-22, CS 22.143", FromMemory, "sailplanes"),
    row("cs22_143/airbrake_temporary", Lever, ForeAft, TemporaryForce, Greatest, 20.0, Decanewton, "EASA CS-22, CS 22.143", FromMemory, "sailplanes; airbrake"),
    row("cs22_143/pitch_prolonged", Stick, Pitch, ProlongedForce, Greatest, 2.0, Decanewton, "EASA CS-22, CS 22.143", FromMemory, "sailplanes"),
    row("cs22_143/roll_prolonged", Stick, Roll, ProlongedForce, Greatest, 1.5, Decanewton, "EASA CS-22, CS 22.143", FromMemory, "sailplanes"),
    row("cs22_143/yaw_prolonged", Pedals, Yaw, ProlongedForce, Greatest, 10.0, Decanewton, "EASA CS-22, CS 22.143", FromMemory, "sailplanes"),
    // male 5th percentile hand strength, momentary
    row("hfds_grip/grip_left", Hand, Any, Strength, Nominal, 200.0, Newton, "FAA Human Factors Design Standard (2003, amended 2009), exhibit 14.5.2.1", Seen, "5th percentile of men, momentary; grip, left hand"),
    row("hfds_grip/grip_right", Hand, Any, Strength, Nominal, 208.0, Newton, "FAA Human Factors Design Standard (2003, amended 2009), exhibit 14.5.2.1", Seen, "5th percentile of men, momentary; grip, right hand"),
    row("hfds_grip/thumb_finger_palmer", Hand, Any, Strength, Nominal, 48.0, Newton, "FAA Human Factors Design Standard (2003, amended 2009), exhibit 14.5.2.1", Seen, "5th percentile of men, momentary; thumb and finger, palmer"),
    row("hfds_grip/thumb_finger_tips", Hand, Any, Strength, Nominal, 48.0, Newton, "FAA Human Factors Design Standard (2003, amended 2009), exhibit 14.5.2.1", Seen, "5th percentile of men, momentary; thumb and finger, tips"),
    // brake pedal angle of maximal foot force, forward of vertical
    row("brake_pedal_angle/low", Pedals, Any, FootAngle, Least, 15.0, Degree, "H. T. E. Hertzberg and F. E. Burke, Human Factors 13 (1971) 445", Seen, "brake pedals: where the foot presses hardest"),
    row("brake_pedal_angle/high", Pedals, Any, FootAngle, Greatest, 35.0, Degree, "H. T. E. Hertzberg and F. E. Burke, Human Factors 13 (1971) 445", Seen, "brake pedals: where the foot presses hardest"),
    // just noticeable difference of stiffness
    row("jnd_stiffness/weber_fraction_matching", Stick, Any, JustNoticeable, Nominal, 0.23, Fraction, "L. A. Jones and I. W. Hunter, Exp. Brain Res. 79 (1990) 150", FromMemory, "matching of stiffness"),
    row("jnd_stiffness/weber_fraction_matching", Wheel, Any, JustNoticeable, Nominal, 0.23, Fraction, "L. A. Jones and I. W. Hunter, Exp. Brain Res. 79 (1990) 150", FromMemory, "matching of stiffness"),
    row("jnd_stiffness/weber_fraction_matching", Pedals, Any, JustNoticeable, Nominal, 0.23, Fraction, "L. A. Jones and I. W. Hunter, Exp. Brain Res. 79 (1990) 150", FromMemory, "matching of stiffness"),
    row("jnd_stiffness/weber_fraction_matching", Lever, Any, JustNoticeable, Nominal, 0.23, Fraction, "L. A. Jones and I. W. Hunter, Exp. Brain Res. 79 (1990) 150", FromMemory, "matching of stiffness"),
    row("jnd_stiffness/weber_fraction_matching", FingerStick, Any, JustNoticeable, Nominal, 0.23, Fraction, "L. A. Jones and I. W. Hunter, Exp. Brain Res. 79 (1990) 150", FromMemory, "matching of stiffness"),
    // just noticeable difference of compliance as Young modulus
    row("jnd_compliance/weber_fraction", Stick, Any, JustNoticeable, Nominal, 0.15, Fraction, "W. M. Bergmann Tiest and A. M. L. Kappers (2009)", Seen, "one condition, soft material"),
    row("jnd_compliance/weber_fraction", Wheel, Any, JustNoticeable, Nominal, 0.15, Fraction, "W. M. Bergmann Tiest and A. M. L. Kappers (2009)", Seen, "one condition, soft material"),
    row("jnd_compliance/weber_fraction", Pedals, Any, JustNoticeable, Nominal, 0.15, Fraction, "W. M. Bergmann Tiest and A. M. L. Kappers (2009)", Seen, "one condition, soft material"),
    row("jnd_compliance/weber_fraction", Lever, Any, JustNoticeable, Nominal, 0.15, Fraction, "W. M. Bergmann Tiest and A. M. L. Kappers (2009)", Seen, "one condition, soft material"),
    row("jnd_compliance/weber_fraction", FingerStick, Any, JustNoticeable, Nominal, 0.15, Fraction, "W. M. Bergmann Tiest and A. M. L. Kappers (2009)", Seen, "one condition, soft material"),
];

/// MIL-F-8785C (1980), table V, elevator maneuvering force gradient, lbf per g; from memory, to be checked.
pub(in crate::feel) const GRADIENTS: &[GradientRule] = &[
    gradient(
        Stick,
        FlyingQualityLevel::One,
        Some(240.0),
        28.0,
        Some(56.0),
        Some(21.0),
        Some(3.0),
    ),
    gradient(
        Stick,
        FlyingQualityLevel::Two,
        Some(360.0),
        42.5,
        Some(85.0),
        Some(18.0),
        None,
    ),
    gradient(
        Stick,
        FlyingQualityLevel::Three,
        None,
        56.0,
        None,
        Some(12.0),
        Some(2.0),
    ),
    gradient(
        Wheel,
        FlyingQualityLevel::One,
        Some(500.0),
        120.0,
        Some(120.0),
        Some(35.0),
        Some(6.0),
    ),
    gradient(
        Wheel,
        FlyingQualityLevel::Two,
        Some(775.0),
        182.0,
        None,
        Some(30.0),
        None,
    ),
    gradient(
        Wheel,
        FlyingQualityLevel::Three,
        None,
        240.0,
        None,
        None,
        None,
    ),
];

/// 14 CFR 23.155, lbf; from memory, to be checked.
pub(in crate::feel) const WEIGHT_RULES: &[WeightRule] = &[
    WeightRule {
        operated: Wheel,
        divisor: 100.0,
        floor: 20.0,
        cap: 50.0,
    },
    WeightRule {
        operated: Stick,
        divisor: 140.0,
        floor: 15.0,
        cap: 35.0,
    },
];

#[expect(clippy::too_many_arguments, reason = "a row of the table above")]
const fn row(
    name: &'static str,
    operated: ControlKind,
    motion: GuidanceMotion,
    quantity: GuidanceQuantity,
    bound: GuidanceBound,
    printed: f64,
    printed_unit: PrintedUnit,
    source: &'static str,
    provenance: Provenance,
    note: &'static str,
) -> GuidanceFigure {
    GuidanceFigure {
        name,
        operated,
        motion,
        quantity,
        bound,
        printed,
        printed_unit,
        source,
        provenance,
        note,
    }
}

const fn gradient(
    operated: ControlKind,
    level: FlyingQualityLevel,
    max_coefficient: Option<f64>,
    max_cap: f64,
    max_floor_coefficient: Option<f64>,
    min_coefficient: Option<f64>,
    min_floor: Option<f64>,
) -> GradientRule {
    GradientRule {
        operated,
        level,
        max_coefficient,
        max_cap,
        max_floor_coefficient,
        min_coefficient,
        min_floor,
    }
}
