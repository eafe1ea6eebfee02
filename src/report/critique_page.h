#pragma once
#include <span>
#include <string>
#include <vector>

#include "check/pixels/picture_checks.h"
#include "critique/critique.h"
#include "picture/picture.h"

namespace armslength {

// Longest side of the picture inside the page.
inline constexpr int kPageLongSide = 2000;

struct PageImages {
  const ImageRgba8* picture = nullptr;   // any size; shrunk to kPageLongSide for the page. REQUIRES: not null
  const ImageRgba8* standing = nullptr;  // the standing plates; null or empty: none
  std::span<const FreshEyeView> views;   // shown small, in this order; none: no such section
};

// critique.html: one file that works from disk with no network, no fonts or scripts from
// elsewhere (a content-security policy in the page forbids them). Everything that comes
// from files (names, notes, titles) is escaped. `notes`: what was left out and why.
[[nodiscard]] Result<std::string> CritiquePage(const Critique& critique, const PageImages& images,
                                               const std::vector<std::string>& notes = {},
                                               const JobControl& control = {});

}  // namespace armslength
