#pragma once
#include <cstdint>
#include <span>
#include <vector>

#include "colour/spaces.h"

namespace armslength {

// Which paint each pixel of a form has, from 1, told by the proportions of red, green and blue: the commonest first,
// each with what lies near it, so that light and shadow of one paint stay together. 0: of none of the `count`, at most 8.
[[nodiscard]] std::vector<std::uint8_t> Paints(std::span<const Oklab> pixels, std::size_t& count);

}  // namespace armslength
