#pragma once
#include "synth/draw/body.h"

namespace armslength {

void DrawBackdrop(Studio& s);
// Gaps, hairy strokes and stray marks on the line layer; their places go to the result.
void ApplyLineFaults(Studio& s);
// Flattens the layers into the picture: style, wobble.
void Finish(Studio& s);

}  // namespace armslength
