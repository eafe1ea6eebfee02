#pragma once
#include "synth/worn.h"

namespace armslength {

// Outlines of the fingers of one hand, as an artist traces them on a drawing of known truth.
struct HandOutlines {
  bool left = true;
  // Faults; 1 and false: a sound hand.
  double size = 1.0;     // whole hand, its tip's mark too
  double fingers = 1.0;  // all fingers, the palm stays
  double ring_finger = 1.0;
  bool other_hand = false;       // thumb, palm and back of the other hand
  bool thumb_by_little = false;  // the row of fingers stays
  bool rake = false;             // tips and knuckles in straight rows
};

// How a view shows a traced hand, from its true place.
struct HandView {
  double facing = 0.0;  // |palm's normal along the sight|: 1 flat to the viewer
  double along = 0.0;   // seen over true length of wrist to hand tip
};

// Adds areas "part" on the hand (five fingers, palm or back by what the view shows), and the hairline's mark where a face
// is as long as a sound hand. Fingers vary by 4 % in length, palms likewise (one sd, from memory), are bent by up to 25
// degrees and spread a little; points are off by `stroke_sigma` of stature. Deterministic in `seed`.
HandView OutlineHand(WornFigure& worn, const HandOutlines& hand, unsigned seed, double stroke_sigma = 0.001);

}  // namespace armslength
