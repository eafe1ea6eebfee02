#include "support/text.h"

#include <array>
#include <atomic>
#include <numeric>
#include <stdexcept>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "support/error.h"
#include "support/job.h"

namespace armslength {
namespace {

constexpr std::array<std::string_view, 5> kNames = {"elbow_l", "elbow_r", "knee_l", "chin", "upper_arm_l"};

TEST(NearestNames, OneSlipIsFound) {
  EXPECT_EQ(NearestName("elbw_l", kNames), "elbow_l");        // left out
  EXPECT_EQ(NearestName("ellbow_r", kNames), "elbow_r");      // one more
  EXPECT_EQ(NearestName("knee_l", kNames), "knee_l");         // none
  EXPECT_EQ(NearestName("nkee_l", kNames), "knee_l");         // two neighbours swapped
  EXPECT_EQ(NearestName("upperarm_left", kNames), "upper_arm_l");
}

TEST(NearestNames, StrangersAreNotGuessed) {
  EXPECT_EQ(NearestName("x", kNames), "");
  EXPECT_EQ(NearestName("", kNames), "");
  EXPECT_EQ(NearestName("shoulder_l", kNames), "");
  EXPECT_EQ(NearestName(std::string(1 << 20, 'e'), kNames), "") << "and takes no time over it";
}

TEST(NearestNames, SuggestionsAreSentences) {
  EXPECT_EQ(SuggestName("elbw_l", kNames), "Did you mean 'elbow_l'?");
  EXPECT_EQ(SuggestName("shoulder_l", kNames), "Valid names: elbow_l, elbow_r, knee_l, chin, upper_arm_l");
}

TEST(HtmlText, NothingCanBreakOutOfAPage) {
  EXPECT_EQ(EscapeHtml("<a href=\"x\">'&'</a>"), "&lt;a href=&quot;x&quot;&gt;&#39;&amp;&#39;&lt;/a&gt;");
  EXPECT_EQ(EscapeHtml(std::string("a\0b\x1b[1mc\td\ne", 12)), "ab[1mc\td\ne");
  EXPECT_EQ(EscapeHtml("Größe 三"), "Größe 三");
}

TEST(ErrorText, HasFilePlaceCauseAndRemedyInOneLine) {
  const Error error{ErrorKind::kInput, "a.json", "/figures/0", "this is wrong", "Do that."};
  EXPECT_EQ(error.Text(), "a.json, at /figures/0: this is wrong. Do that.");
  EXPECT_EQ((Error{ErrorKind::kUsage, "", "", "no file given", ""}).Text(), "no file given.");
  EXPECT_EQ((Error{ErrorKind::kInput, "", "line 3", "odd", "Why?"}).Text(), "at line 3: odd. Why?");
}

TEST(ErrorText, ExitCodesAreTheDocumentedOnes) {
  EXPECT_EQ(ExitCode(ErrorKind::kUsage), 2);
  EXPECT_EQ(ExitCode(ErrorKind::kInput), 3);
  EXPECT_EQ(ExitCode(ErrorKind::kCancelled), 4);
  EXPECT_EQ(ExitCode(ErrorKind::kInternal), 5);
}

TEST(ParallelLoop, RunsEveryIndexOnce) {
  for (int threads : {0, 1, 2, 7}) {
    std::vector<std::atomic<int>> hits(1000);
    ParallelFor(1000, threads, [&](int i) { ++hits[static_cast<std::size_t>(i)]; });
    for (const auto& h : hits) ASSERT_EQ(h, 1);
  }
  ParallelFor(0, 4, [](int) { FAIL(); });
  ParallelFor(-3, 4, [](int) { FAIL(); });
}

TEST(ParallelLoop, AnExceptionReachesTheCallerAndStopsTheRest) {
  for (int threads : {1, 4}) {
    std::atomic<int> ran{0};
    EXPECT_THROW(ParallelFor(100'000, threads,
                             [&](int i) {
                               ++ran;
                               if (i == 10) throw std::runtime_error("ten");
                             }),
                 std::runtime_error);
    EXPECT_LT(ran, 100'000);
  }
}

}  // namespace
}  // namespace armslength
