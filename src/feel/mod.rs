//! Feel: the force at the hand and the foot against travel.
