// Answers and notes, without a window.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "app/critique/arrange.h"
#include "app/critique/compare_notes.h"

namespace armslength::app {
namespace {

Finding Off(const std::string& id, double gain, const std::string& figure = "Mira") {
  Finding f;
  f.id = id;
  f.title = id;
  f.figure = figure;
  f.verdict = Verdict::kOff;
  f.measured = 1.2;
  f.expected = 1.0;
  f.tolerance = 0.02;
  f.sd = 0.01;
  f.unit = "ratio";
  f.gain = gain;
  f.remedy.minutes = 1.0;
  return f;
}

struct Scene {
  Measured measured;
  Work work;
  Scene() {
    FigureCritique figure;
    figure.marks.name = "Mira";
    work.marks.figures = {figure.marks};
    measured.figures = {figure};
    measured.findings = {Off("face.a", 9), Off("face.b", 8), Off("face.c", 7), Off("face.d", 6), Off("line.gaps", 5, "")};
  }
  [[nodiscard]] Arranged Now(const FindingFilter& filter = {}) const { return Arrange(measured, work, {}, filter); }
  void Answer(std::size_t i, Given given) { work = WithAnswer(work, measured.findings[i], given); }
};

std::vector<std::string> Ids(const std::vector<Finding>& findings) {
  std::vector<std::string> ids;
  for (const Finding& f : findings) ids.push_back(f.id);
  return ids;
}
using testing::ElementsAre;

TEST(Arrange, NotSoMakesRoomForTheNext) {
  Scene s;
  EXPECT_THAT(Ids(s.Now().critique.first), ElementsAre("face.a", "face.b", "face.c"));
  s.Answer(0, Given::kNotSo);
  EXPECT_THAT(Ids(s.Now().critique.first), ElementsAre("face.b", "face.c", "face.d"));
  EXPECT_THAT(Ids(s.Now().disagreed), ElementsAre("face.a"));
  s.Answer(0, Given::kNothing);
  EXPECT_THAT(Ids(s.Now().critique.first), ElementsAre("face.a", "face.b", "face.c"));
}

TEST(Arrange, MeantGoesIntoTheMarksAndOutOfTheCount) {
  Scene s;
  s.Answer(1, Given::kMeant);
  EXPECT_THAT(s.work.marks.figures[0].meant, ElementsAre("face.b"));
  const Arranged now = s.Now();
  EXPECT_THAT(Ids(now.critique.meant), ElementsAre("face.b"));
  EXPECT_THAT(Ids(now.critique.first), ElementsAre("face.a", "face.c", "face.d"));
  s.Answer(4, Given::kMeant);  // of the whole picture: any figure's declaration holds
  EXPECT_EQ(s.Now().critique.meant.size(), 2u);
  s.Answer(1, Given::kAgree);  // another answer takes the declaration back
  EXPECT_THAT(s.work.marks.figures[0].meant, ElementsAre("line.gaps"));
  EXPECT_EQ(AnswerTo(s.measured.findings[1], s.work), Given::kAgree);
}

TEST(Arrange, MeantWithoutAFigureMakesOne) {
  Scene s;
  s.work.marks.figures.clear();
  s.Answer(4, Given::kMeant);
  ASSERT_EQ(s.work.marks.figures.size(), 1u);
  EXPECT_FALSE(s.work.marks.figures[0].name.empty());
  EXPECT_EQ(AnswerTo(s.measured.findings[4], s.work), Given::kMeant);
}

TEST(Arrange, FiguresAreAnsweredApart) {
  Scene s;
  s.measured.findings.push_back(Off("face.a", 9, "Jon"));
  s.Answer(0, Given::kNotSo);
  EXPECT_EQ(AnswerTo(s.measured.findings[0], s.work), Given::kNotSo);
  EXPECT_EQ(AnswerTo(s.measured.findings.back(), s.work), Given::kNothing);
  EXPECT_EQ(AnswerParts(AnswerKey(s.measured.findings[0])), std::pair(QStringLiteral("face.a"), QStringLiteral("Mira")));
  EXPECT_EQ(AnswerParts(QStringLiteral("line.gaps")), std::pair(QStringLiteral("line.gaps"), QString()));
}

TEST(Arrange, FiltersBeforeItRanks) {
  Scene s;
  s.measured.findings[0].stage = Stage::kLine;
  s.measured.findings[4].kind = Kind::kCraft;
  EXPECT_THAT(Ids(s.Now({std::nullopt, Stage::kLine}).critique.first), ElementsAre("face.a"));
  EXPECT_THAT(Ids(s.Now({Kind::kCraft, std::nullopt}).critique.first), ElementsAre("line.gaps"));
}

TEST(Arrange, EarlierDisagreementSoftensAndSaysSo) {
  Scene s;
  s.measured.findings[0].sd = 0.15;  // 0.18 beyond the band is 1.2 sd: fairly sure
  const Arranged now = Arrange(s.measured, s.work, {{"face.a", {1, 0}}});
  EXPECT_THAT(Ids(now.critique.observations), ElementsAre("face.a"));
  ASSERT_EQ(now.softened.size(), 1u);
  EXPECT_THAT(now.critique.observations[0].why, testing::HasSubstr("disagreed with this once"));
}

Note At(qint64 id, QRectF where, Note::Kind kind = Note::Kind::kWrong) {
  Note note;
  note.id = id;
  note.text = QStringLiteral("note");
  note.kind = kind;
  note.where_px = where;
  return note;
}

Finding Line(const std::string& id, Vec2 from, Vec2 to, Kind kind = Kind::kConstruction) {
  Finding f = Off(id, 1);
  f.kind = kind;
  GuideShape shape;
  shape.points = {from, to};
  f.guides = {shape};
  return f;
}

TEST(CompareNotes, SortsWhatBothSawAndWhatOnlyOneSaw) {
  const Finding arm = Line("body.arm", {100, 100}, {300, 100}), leg = Line("body.leg", {100, 500}, {100, 900});
  const std::vector<Note> notes = {At(1, {200, 110, 0, 0}), At(2, {600, 600, 50, 50})};
  const NotesBeside beside = CompareNotes(notes, {&arm, &leg}, 20.0);
  ASSERT_EQ(beside.both.size(), 1u);
  EXPECT_EQ(beside.both[0].note, 1);
  EXPECT_EQ(beside.both[0].finding, &arm);
  EXPECT_FALSE(beside.both[0].linked);
  EXPECT_THAT(beside.only_you, ElementsAre(2));
  EXPECT_THAT(beside.only_tool, ElementsAre(&leg));
}

TEST(CompareNotes, TheArtistsLinkIsStrongerThanThePlace) {
  const Finding arm = Line("body.arm", {100, 100}, {300, 100}), leg = Line("body.leg.length", {100, 500}, {100, 900});
  Note note = At(1, {200, 100, 0, 0});
  note.finding = QStringLiteral("body.leg.length");
  NotesBeside beside = CompareNotes({note}, {&arm, &leg}, 20.0);
  ASSERT_EQ(beside.both.size(), 1u);
  EXPECT_EQ(beside.both[0].finding, &leg);
  EXPECT_TRUE(beside.both[0].linked);
  note.finding = QStringLiteral("body.gone");  // linked to what is no longer found
  beside = CompareNotes({note}, {&arm, &leg}, 20.0);
  EXPECT_TRUE(beside.both.empty());
  EXPECT_THAT(beside.only_you, ElementsAre(1));
}

TEST(CompareNotes, KeepGoesWithWhatWorksOnly) {
  const Finding off = Line("body.arm", {100, 100}, {300, 100}), works = Line("body.balance", {100, 110}, {300, 110}, Kind::kKeep);
  const NotesBeside beside = CompareNotes({At(1, {200, 100, 0, 0}, Note::Kind::kKeep), At(2, {200, 110, 0, 0})}, {&off, &works}, 20.0);
  ASSERT_EQ(beside.both.size(), 2u);
  EXPECT_EQ(beside.both[0].finding, &works);
  EXPECT_EQ(beside.both[1].finding, &off);
}

// Distances worked out by hand.
TEST(CompareNotes, DistanceIsToTheNearestPartOfTheShape) {
  const Finding line = Line("x", {100, 100}, {300, 100});
  EXPECT_DOUBLE_EQ(PlaceDistance({200, 130, 0, 0}, line), 30.0);
  EXPECT_DOUBLE_EQ(PlaceDistance({303, 104, 10, 10}, line), 5.0);
  EXPECT_DOUBLE_EQ(PlaceDistance({150, 50, 20, 100}, line), 0.0);  // the line runs through the region
  Finding area = Off("y", 1);
  GuideShape polygon;
  polygon.form = GuideShape::Form::kPolygon;
  polygon.points = {{0, 0}, {100, 0}, {100, 100}, {0, 100}};
  area.guides = {polygon};
  EXPECT_DOUBLE_EQ(PlaceDistance({50, 50, 0, 0}, area), 0.0);
  EXPECT_TRUE(std::isinf(PlaceDistance({50, 50, 0, 0}, Off("z", 1))));
}

}  // namespace
}  // namespace armslength::app
