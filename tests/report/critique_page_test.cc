#include "report/critique_page.h"

#include <regex>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "report/demo_critique.h"
#include "report/overlay.h"
#include "report/page_parts.h"
#include "report/standing_plate.h"

namespace armslength {
namespace {

using testing::HasSubstr;
using testing::Not;

const std::string kFolder = std::string(AL_TEST_DATA) + "/report";

std::string Page(const DemoCritique& demo) {
  const ImageRgba8 standing = DrawStanding(demo.critique).value();
  return CritiquePage(demo.critique, {&demo.picture.image, &standing, {}}).value();
}

// Embedded pictures become DATA. By hand: std::regex overflows its stack on long matches.
std::string WithoutData(const std::string& page) {
  std::string out;
  for (std::size_t at = 0;;) {
    const std::size_t start = page.find("data:image/", at);
    if (start == std::string::npos) return out + page.substr(at);
    const std::size_t end = page.find('"', start);
    out += page.substr(at, start - at) + "DATA";
    at = end;
  }
}

TEST(CritiquePage, NeedsNothingFromElsewhere) {
  const std::string page = WithoutData(Page(MakeDemoCritique(kFolder)));
  EXPECT_THAT(page, HasSubstr("default-src 'none'"));
  for (const char* word : {"http://", "https://", "url(", "@import", "<link", "<iframe", "src=\"/", "fetch(", "XMLHttp"})
    EXPECT_THAT(page, Not(HasSubstr(word)));
  // Every address is a picture inside the page or a place in it.
  const std::regex address("(?:src|href)=\"([^\"]*)\"");
  for (std::sregex_iterator it(page.begin(), page.end(), address), end; it != end; ++it)
    EXPECT_TRUE((*it)[1] == "DATA" || (*it)[1].str().starts_with("#")) << (*it)[1];
}

TEST(CritiquePage, ShowsTheThreeFirstInOrderAndTheRestBehindAStep) {
  const std::string page = Page(MakeDemoCritique(kFolder));
  const auto one = page.find("Legs too short"), two = page.find("Falls to the picture&#39;s left"),
             three = page.find("Left forearm longer"), rest = page.find("Three gaps"), fold = page.find("<details>");
  ASSERT_NE(one, std::string::npos);
  EXPECT_LT(one, two);
  EXPECT_LT(two, three);
  EXPECT_LT(three, fold);
  EXPECT_LT(fold, rest);
  EXPECT_THAT(page, HasSubstr("Three things to mend first"));
  EXPECT_THAT(page, HasSubstr("What works: keep it"));
  EXPECT_THAT(page, HasSubstr("Taste: seen, not judged"));
  // One mark that settles two questions is asked for once.
  const std::string ask = "Mark head_top: the top of the skull under the hair.";
  EXPECT_EQ(page.find(ask), page.rfind(ask));
  EXPECT_NE(page.find(ask), std::string::npos);
}

// A fault just below the chin: its number would stand on the face, so it stands on another side.
TEST(CritiquePage, ANumberStandsOnNoFace) {
  DemoCritique demo = MakeDemoCritique(kFolder);
  Critique& c = demo.critique;
  c.first.resize(1);
  const std::vector<BoxPx> faces = FaceBoxes(c);
  ASSERT_FALSE(faces.empty());
  const BoxPx& face = faces.front();
  const double side = std::max<double>(c.picture.width, 0.6 * c.picture.height), r = 0.022 * side;
  c.first[0].guides = {{GuideShape::Role::kDrawn, GuideShape::Form::kCross, {{face.x - 0.5 * r, face.y + 0.5 * face.height}}, {}}};
  const std::string svg = page::OverlaySvg(c);
  const std::regex circle("<circle cx=\"([^\"]*)\" cy=\"([^\"]*)\"");
  std::smatch at;
  ASSERT_TRUE(std::regex_search(svg, at, circle));
  const double x = std::stod(at[1]), y = std::stod(at[2]);
  EXPECT_EQ(face.Overlap({x - r, y - r, 2 * r, 2 * r}), 0.0) << x << ' ' << y;
  EXPECT_LT((Vec2(x, y) - c.first[0].guides[0].points[0]).norm(), 5.0 * r);  // still beside its place
}

TEST(CritiquePage, EscapesEverythingThatComesFromFiles) {
  const std::string evil = "<script>alert(1)</script>\"'&\xE2\x80\xAE{{script}}";
  DemoCritique demo = MakeDemoCritique(kFolder);
  demo.critique.picture.file = evil + ".png";
  demo.critique.picture.notes = {evil};
  demo.critique.marks_file = evil;
  FigureCritique second = demo.critique.figures.front();
  second.marks.name = evil;
  demo.critique.figures.push_back(second);
  for (auto* list : {&demo.critique.first, &demo.critique.rest, &demo.critique.cannot_tell, &demo.critique.clear,
                     &demo.critique.keep, &demo.critique.observations})
    for (Finding& f : *list) {
      f.title = f.why = f.ask = f.source = f.figure = f.remedy.detail = f.unit = f.test = evil;
      for (GuideShape& shape : f.guides) shape.label = evil;
    }
  const std::string page = WithoutData(Page(demo));
  EXPECT_THAT(page, Not(HasSubstr("alert(1)</script>")));
  EXPECT_THAT(page, HasSubstr("&lt;script&gt;alert(1)"));
  EXPECT_THAT(page, HasSubstr("{{script}}"));  // taken as text, not filled in
  std::size_t scripts = 0;
  for (std::size_t at = 0; (at = page.find("<script", at)) != std::string::npos; ++at) ++scripts;
  EXPECT_EQ(scripts, 1u);
}

TEST(CritiquePage, KeepsFoldersToItself) {
  DemoCritique demo = MakeDemoCritique(kFolder);
  demo.critique.picture.file = "/home/somebody/secret client/anna.png";
  const std::string page = WithoutData(Page(demo));
  EXPECT_THAT(page, HasSubstr("anna.png"));
  EXPECT_THAT(page, Not(HasSubstr("secret client")));
}

TEST(CritiquePage, FreshEyeViewsAreShownAndNamed) {
  const DemoCritique demo = MakeDemoCritique(kFolder);
  const std::vector<FreshEyeView> views = {{"upside_down", "Upside <down>", MakeView(demo.picture.image, SimpleView::kUpsideDown)}};
  const std::string page = WithoutData(CritiquePage(demo.critique, {&demo.picture.image, nullptr, views}).value());
  EXPECT_THAT(page, HasSubstr("With fresh eyes"));
  EXPECT_THAT(page, HasSubstr("look-upside_down.jpg"));
  EXPECT_THAT(page, HasSubstr("Upside &lt;down&gt;"));
  EXPECT_THAT(WithoutData(Page(demo)), Not(HasSubstr("With fresh eyes")));
}

TEST(CritiquePage, ACleanPictureIsToldSo) {
  DemoCritique demo = MakeDemoCritique(kFolder);
  demo.critique = Rank(demo.picture.facts, {}, {});
  const std::string page = CritiquePage(demo.critique, {&demo.picture.image, nullptr, {}}).value();
  EXPECT_THAT(page, HasSubstr("Nothing is off by these measures"));
  EXPECT_THAT(page, HasSubstr("No marks were given"));
}

TEST(CritiquePage, AnAskWithinAWiderOneIsNotAskedAgain) {
  DemoCritique demo = MakeDemoCritique(kFolder);
  std::vector<Finding> open(3);
  const std::vector<std::string> asks = {"Mark the feet again.", "Mark the hands again.", "Mark the feet again, and both heels."};
  for (std::size_t i = 0; i < open.size(); ++i) {
    open[i].id = "body.open." + std::to_string(i);
    open[i].title = "Question " + std::to_string(i);
    open[i].verdict = Verdict::kCannotTell;
    open[i].gain = 3.0 - static_cast<double>(i);
    open[i].ask = asks[i];
  }
  demo.critique = Rank(demo.picture.facts, {}, open);
  const std::string page = CritiquePage(demo.critique, {&demo.picture.image, nullptr, {}}).value();
  EXPECT_THAT(page, Not(HasSubstr("<p>Mark the feet again.</p>")));
  const auto wide = page.find("Mark the feet again, and both heels."), first = page.find("Question 0"), last = page.find("Question 2"),
             hands = page.find("Mark the hands again.");
  ASSERT_NE(wide, std::string::npos);
  EXPECT_LT(wide, first);
  EXPECT_LT(first, last);
  EXPECT_LT(last, hands);
}

// WCAG 2.2, success criterion 1.4.3: 4.5 to 1 for text. Formula of relative luminance there.
TEST(CritiquePage, TextColoursHaveEnoughContrast) {
  const std::string page = WithoutData(Page(MakeDemoCritique(kFolder)));
  const auto luminance = [](const std::string& hex) {
    const auto channel = [&hex](int i) {
      const double c = std::stoi(hex.substr(static_cast<std::size_t>(2 * i), 2), nullptr, 16) / 255.0;
      return c <= 0.04045 ? c / 12.92 : std::pow((c + 0.055) / 1.055, 2.4);
    };
    return 0.2126 * channel(0) + 0.7152 * channel(1) + 0.0722 * channel(2);
  };
  // The two :root blocks: light, then dark.
  std::size_t at = 0;
  for (const char* theme : {"light", "dark"}) {
    at = page.find(":root{", at) + 6;
    const std::string block = page.substr(at, page.find('}', at) - at);
    const auto colour = [&block, &theme](const std::string& name) {
      std::smatch found;
      const std::regex row("--" + name + ":#([0-9a-f]{3,6});");
      EXPECT_TRUE(std::regex_search(block, found, row)) << theme << ' ' << name;
      std::string hex = found[1];
      if (hex.size() == 3) hex = {hex[0], hex[0], hex[1], hex[1], hex[2], hex[2]};
      return hex;
    };
    const auto contrast = [&](const std::string& a, const std::string& b) {
      const double x = luminance(colour(a)), y = luminance(colour(b));
      return (std::max(x, y) + 0.05) / (std::min(x, y) + 0.05);
    };
    for (const char* ink : {"ink", "soft"})
      for (const char* ground : {"paper", "panel"}) EXPECT_GE(contrast(ink, ground), 4.5) << theme << ' ' << ink << " on " << ground;
    EXPECT_GE(contrast("disc-ink", "disc"), 4.5) << theme;
    // Lines and other graphics: 3 to 1 (criterion 1.4.11).
    for (const char* ink : {"drawn", "target"}) EXPECT_GE(contrast(ink, "paper"), 3.0) << theme << ' ' << ink;
  }
}

}  // namespace
}  // namespace armslength
