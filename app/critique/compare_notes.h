#pragma once
#include <vector>

#include "app/session/document.h"
#include "check/finding.h"

namespace armslength::app {

// A note and a finding that speak of the same thing.
struct Seen {
  qint64 note = 0;
  const Finding* finding = nullptr;
  bool linked = false;  // the artist said so; else they lie at the same place
};

struct NotesBeside {
  std::vector<Seen> both;                      // by note
  std::vector<qint64> only_you;                // notes
  std::vector<const Finding*> only_tool;       // in the order given
};

// What both saw, only the artist, only the tool. A note that names a finding id goes with that
// one, or with nothing when it is not among `findings`. Others go with the finding whose marks lie
// nearest to their pin or region, at most `reach_px` away; notes without a place go with nothing.
// "Keep" notes only go with findings of kind keep, the others only with those that are not.
// One finding may answer several notes, and a note has one finding.
[[nodiscard]] NotesBeside CompareNotes(const std::vector<Note>& notes, const std::vector<const Finding*>& findings,
                                       double reach_px);

// 2 % of the picture's long side: about a hand's breadth on a standing figure; default, no source.
[[nodiscard]] double NoteReachPx(int width_px, int height_px);

// Distance from a note's place to what a finding marks, px; 0 inside. Infinite without a place.
[[nodiscard]] double PlaceDistance(const QRectF& where_px, const Finding& finding);

}  // namespace armslength::app
