#pragma once
#include <QMarginsF>
#include <QString>

#include "app/critique/arrange.h"
#include "app/session/document.h"

class QPagedPaintDevice;

namespace armslength::app {

// The critique on pages, for print or a folder: the picture with what was measured, the first three
// with their crops, the rest as lines, the artist's notes. Sizes are millimetres and points of
// the device, so paper and screen resolution do not matter. REQUIRES: a picture is open.
void PaintCritique(QPagedPaintDevice& device, const Arranged& shown, const Document& document);
[[nodiscard]] inline QMarginsF PageMarginsMm() { return {16, 16, 16, 16}; }

// The same as PDF on A4. Empty: done, else what is wrong (the file cannot be written). Written
// beside and renamed.
[[nodiscard]] QString WriteCritiquePdf(const QString& path, const Arranged& shown, const Document& document);

}  // namespace armslength::app
