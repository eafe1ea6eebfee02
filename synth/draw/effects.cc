#include "synth/draw/effects.h"

namespace armslength {
void DrawBackdrop(Studio& s) {
  cairo_t* cr = s.sheet.Background();
  cairo_set_source_rgb(cr, 0.86, 0.92, 0.95);
  cairo_paint(cr);
}
void ApplyLineFaults(Studio&) {}
void Finish(Studio& s) { s.out.image = Flatten(s.out.layers, s.spec.width_px, s.spec.height_px); }
}  // namespace armslength
