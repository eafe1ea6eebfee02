#include "words/say.h"

#include <atomic>
#include <cstdlib>
#include <fstream>
#include <thread>

#include <fmt/args.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

namespace armslength {
namespace {

using testing::AnyOf;
using testing::Contains;

// Keys are put together here from several pieces, so that the catalogue's test does not take them for texts
// of the program.
class SayTest : public testing::Test {
 protected:
  void TearDown() override { SpeakLanguage("en"); }
};

nlohmann::json German() {
  std::ifstream file(AL_SOURCE_DIR "/data/words/de.json");
  return nlohmann::json::parse(file);
}

TEST_F(SayTest, EnglishIsWhatTheSourceSays) {
  EXPECT_EQ(Say("{} bent too far: {:.0f} degrees, {:.0f} at most", "Left elbow", 171.2, 150.0),
            "Left elbow bent too far: 171 degrees, 150 at most");
  EXPECT_EQ(SayLater("left elbow"), "left elbow");
  EXPECT_EQ(Language(), "en");
}

TEST_F(SayTest, SaysTheCatalogue) {
  EXPECT_THAT(Languages(), Contains("de"));
  ASSERT_TRUE(SpeakLanguage("de_AT"));
  EXPECT_EQ(Language(), "de");
  EXPECT_EQ(SayLater("left elbow"), "linker Ellbogen");
  EXPECT_EQ(Say("too long"), "zu lang");
}

TEST_F(SayTest, ReordersAndDeclines) {
  ASSERT_TRUE(SpeakLanguage("de"));
  // The pattern's second argument comes first in German.
  EXPECT_EQ(Say("From light to shadow the hue moves by {:.0f} degrees in a typical one of {} materials; from one to another that "
                "differs by {:.0f} degrees.",
                12.0, 4, 30.0),
            "Vom Licht zum Schatten wandert der Farbton bei einem typischen von 4 Materialien um 12 Grad; von einem zum anderen "
            "unterscheidet sich das um 30 Grad.");
  EXPECT_EQ(Say("Check the mark at the {}", SayLater("left knee")), "Prüfe die Marke am linken Knie");
  EXPECT_EQ(Say("Check the mark at the {}", SayLater("right hip")), "Prüfe die Marke an der rechten Hüfte");
  EXPECT_EQ(Say("Scale the {} down by {:.0f} %.", SayLater("right foot"), 12.0), "Verkleinere den rechten Fuß um 12 %.");
  // A name that the catalogue does not decline stays as it is.
  EXPECT_EQ(Say("Scale the {} down by {:.0f} %.", "Zopf", 12.0), "Verkleinere Zopf um 12 %.");
}

TEST_F(SayTest, WritesNumbersAsTheLanguageDoes) {
  ASSERT_TRUE(SpeakLanguage("de"));
  EXPECT_EQ(Say("{:.2f} head", 0.125), "0,12 Kopf");
  EXPECT_EQ(Say("{:.1f} %", 1234.5), "1234,5 %");
  EXPECT_EQ(Digits("0.5"), "0,5");
  SpeakLanguage("en");
  EXPECT_EQ(Say("{:.1f} %", 1234.5), "1234.5 %");
}

TEST_F(SayTest, WhatNoCatalogueHasIsSaidInEnglish) {
  ASSERT_TRUE(SpeakLanguage("de"));
  constexpr auto unknown = "a sentence no source has: {} and {:.1f}";
  EXPECT_EQ(words::Say(unknown, unknown, std::string("this"), 1.5), "a sentence no source has: this and 1,5");
  EXPECT_FALSE(SpeakLanguage("tlh"));
  EXPECT_EQ(Language(), "en");
}

TEST_F(SayTest, OneAndSeveral) {
  EXPECT_EQ(SayCount(1, "{} fastening against a ring", "{} fastenings against a ring", 1), "1 fastening against a ring");
  EXPECT_EQ(SayCount(3, "{} fastening against a ring", "{} fastenings against a ring", 3), "3 fastenings against a ring");
  ASSERT_TRUE(SpeakLanguage("de"));
  EXPECT_EQ(SayCount(3, "{} fastening against a ring", "{} fastenings against a ring", 3), "3 Verschlüsse, an einem Ring gemessen,");
}

TEST_F(SayTest, ListsAndCapitals) {
  EXPECT_EQ(SayList({"a", "b", "c"}), "a, b and c");
  EXPECT_EQ(Capital("äußerer Winkel"), "Äußerer Winkel");
  EXPECT_EQ(Capital("÷"), "÷");
  EXPECT_EQ(Capital("ß"), "ß");
  EXPECT_EQ(Capital(""), "");
  ASSERT_TRUE(SpeakLanguage("de"));
  const std::string limbs = SayList({SayLater("left arm"), SayLater("legs")});
  EXPECT_EQ(limbs, "linker Arm und Beine");
  EXPECT_EQ(Say("Scale the {} down by {:.0f} %.", limbs, 5.0), "Verkleinere den linken Arm und die Beine um 5 %.");
}

// Every translation takes what its English takes: numbers as numbers, the rest as text.
TEST_F(SayTest, EveryTranslationCanBeSaid) {
  const auto catalogue = German();
  ASSERT_GT(catalogue["texts"].size(), 500U);
  ASSERT_TRUE(SpeakLanguage("de"));
  for (const auto& [key, said] : catalogue["texts"].items()) {
    fmt::dynamic_format_arg_store<fmt::format_context> args;
    for (std::size_t at = key.find('{'); at != std::string::npos; at = key.find('{', at + 1)) {
      const char kind = key[key.find('}', at) - 1];
      if (kind == 'f')
        args.push_back(1.5);
      else if (kind == 'd')
        args.push_back(2);
      else
        args.push_back(words::Name{"linker Ellbogen"});
    }
    std::string text;
    EXPECT_NO_THROW(text = words::Format(*words::Current(), words::Find(*words::Current(), key), key, args)) << key;
    EXPECT_FALSE(text.empty()) << key;
  }
}

TEST_F(SayTest, ThreadsSayOneLanguageOrTheOther) {
  std::atomic<bool> done{false};
  std::thread other([&] {
    while (!done) {
      SpeakLanguage("de");
      SpeakLanguage("en");
    }
  });
  for (int i = 0; i < 20000; ++i) EXPECT_THAT(Say("too long"), AnyOf("too long", "zu lang"));
  done = true;
  other.join();
}

TEST(Catalogues, HaveEveryTextOfTheSources) { EXPECT_EQ(std::system("/usr/bin/python3 '" AL_SOURCE_DIR "/scripts/words'"), 0); }

}  // namespace
}  // namespace armslength
