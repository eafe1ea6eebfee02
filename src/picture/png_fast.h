#pragma once
// Inside src/picture only: the common kind of large PNG picture, decoded in about half of libpng's time.
#include <string_view>

#include "picture/picture.h"

namespace armslength {

// True for 8-bit, not interlaced pictures of RGBA, RGB or grey samples without a transparent colour.
[[nodiscard]] bool FastPngFits(int bits, int colour_type, bool interlaced, bool transparent);

// Fills `image` (width and height set, pixels empty) from the IDAT chunks of `png`. False when
// anything at all is not as it should be (checksums, lengths, filter types, the stream's end); the
// caller then lets libpng find the words for it. Nothing about the picture is decided here: header,
// colours and limits have been checked by libpng before.
//
// One inflate of the whole stream (libdeflate) lands in the picture's own memory, behind the place
// where the finished rows go, and the rows are unfiltered forward over it. Memory: the picture and
// a copy of the compressed data. Source: PNG specification third edition, 9.2 (filter types).
[[nodiscard]] bool FastPngRead(std::string_view png, int colour_type, ImageRgba8& image);

}  // namespace armslength
