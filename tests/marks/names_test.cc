#include "marks/names.h"

#include <set>

#include <gtest/gtest.h>

namespace armslength {
namespace {

TEST(Names, EveryPointAndBoneHasOneNameAndComesBack) {
  std::set<std::string_view> seen, spoken;
  for (int i = 0; i < kPointCount; ++i) {
    const auto id = static_cast<PointId>(i);
    EXPECT_FALSE(Name(id).empty()) << i;
    EXPECT_TRUE(seen.insert(Name(id)).second) << Name(id);
    EXPECT_TRUE(spoken.insert(SpokenName(id)).second) << SpokenName(id);
    EXPECT_EQ(PointFromName(Name(id)), id);
  }
  for (int i = 0; i < kBoneCount; ++i) {
    const auto id = static_cast<BoneId>(i);
    EXPECT_EQ(BoneFromName(Name(id)), id);
  }
  EXPECT_FALSE(PointFromName("elbow"));
  EXPECT_FALSE(BoneFromName(""));
  EXPECT_EQ(PointNames().size(), static_cast<std::size_t>(kPointCount));
}

TEST(Names, MirroringTwiceIsNothingAndSwapsSides) {
  for (int i = 0; i < kPointCount; ++i) {
    const auto id = static_cast<PointId>(i);
    EXPECT_EQ(Mirrored(Mirrored(id)), id);
    EXPECT_EQ(Side(Mirrored(id)), -Side(id)) << Name(id);
    EXPECT_EQ(Side(id) == 0, Mirrored(id) == id);
    // The spoken names say the same.
    EXPECT_EQ(SpokenName(id).find("left") != std::string_view::npos, Side(id) > 0) << Name(id);
    EXPECT_EQ(SpokenName(id).find("right") != std::string_view::npos, Side(id) < 0) << Name(id);
  }
  for (int i = 0; i < kBoneCount; ++i) {
    const auto id = static_cast<BoneId>(i);
    EXPECT_EQ(Mirrored(Mirrored(id)), id);
    EXPECT_EQ(Side(Mirrored(id)), -Side(id));
    // Ends lie on the bone's own side, and mirror with it.
    if (Side(id) != 0) {
      EXPECT_EQ(Side(Ends(id).from), Side(id)) << Name(id);
      EXPECT_EQ(Mirrored(Ends(id).to), Ends(Mirrored(id)).to) << Name(id);
    }
  }
}

TEST(Names, DepthBonesAreBonesWithoutWidths) {
  for (const auto name : DepthBoneNames()) {
    const auto id = BoneFromName(name);
    ASSERT_TRUE(id) << name;
    EXPECT_NE(*id, BoneId::kShoulderWidth);
    EXPECT_NE(*id, BoneId::kHipWidth);
  }
}

}  // namespace
}  // namespace armslength
