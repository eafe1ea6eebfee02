// Nothing half done is lost, nothing goes on without an end, and what went wrong is said where it is seen.
#include <QAbstractButton>
#include <QAction>
#include <QComboBox>
#include <QLabel>
#include <QListWidget>
#include <QPlainTextEdit>
#include <QScreen>
#include <QScrollArea>
#include <QScrollBar>
#include <QThreadPool>
#include <QWheelEvent>

#include "app/places/look_place.h"
#include "app/places/mark_place.h"
#include "app/window/commands.h"
#include "app/window/help_sheet.h"
#include "app/window/message_line.h"
#include "app/window/start_page.h"
#include "support/files.h"
#include "window_fixture.h"

namespace armslength::app {
namespace {

QAbstractButton* ButtonOf(MainWindow& window, const char* id) {
  const QAction* action = window.TheCommands().Find(QLatin1String(id));
  for (auto* b : window.findChildren<QAbstractButton*>())
    if (action && b->inherits("armslength::app::KeyButton") && b->accessibleName() == action->text()) return b;
  return nullptr;
}

void Press(MainWindow& window, const char* id) { window.TheCommands().Find(QLatin1String(id))->trigger(); }

QPlainTextEdit& Field(MainWindow& window) { return *window.findChild<QPlainTextEdit*>(); }

const std::vector<Note>& Notes(MainWindow& window) { return window.TheDocument().Current().notes; }

TEST_F(WindowTest, AHalfWrittenNoteIsKeptOnClosing) {
  auto window = NewWindow();
  const QString picture = Picture();
  ASSERT_TRUE(Open(*window, picture));
  Click(*window, {400, 500});
  QTest::keyClicks(&Field(*window), QStringLiteral("the left hand"));
  window->close();
  window.reset();
  window = NewWindow();
  ASSERT_TRUE(Open(*window, picture));
  ASSERT_TRUE(QTest::qWaitFor([&] { return Notes(*window).size() == 1; }, kPatienceMs));
  EXPECT_EQ(Notes(*window)[0].text, QStringLiteral("the left hand"));
  EXPECT_TRUE(Notes(*window)[0].where_px.has_value());
}

TEST_F(WindowTest, AHalfWrittenNoteStaysWithItsPicture) {
  auto window = NewWindow();
  const QString first = Picture(), second = Picture(QStringLiteral("redraw"));
  ASSERT_TRUE(Open(*window, first));
  Click(*window, {400, 500});
  QTest::keyClicks(&Field(*window), QStringLiteral("the hem"));
  // To another place and back: words and pin are still there.
  window->GoTo(QStringLiteral("mark"));
  window->GoTo(QStringLiteral("look"));
  ASSERT_TRUE(Open(*window, second));
  EXPECT_TRUE(Field(*window).toPlainText().isEmpty());
  EXPECT_TRUE(Notes(*window).empty());
  ASSERT_TRUE(Open(*window, first));
  ASSERT_TRUE(QTest::qWaitFor([&] { return Notes(*window).size() == 1; }, kPatienceMs));
  EXPECT_EQ(Notes(*window)[0].text, QStringLiteral("the hem"));
  ASSERT_TRUE(Notes(*window)[0].where_px.has_value());
  EXPECT_NEAR(Notes(*window)[0].where_px->x(), 400, 3);
}

TEST_F(WindowTest, ATimedLookCanBeStopped) {
  auto window = NewWindow();
  ASSERT_TRUE(Open(*window, Picture()));
  Press(*window, "look.timed");
  EXPECT_FALSE(Field(*window).isEnabled());
  EXPECT_TRUE(window->TheCommands().Find(QStringLiteral("look.timed"))->isChecked());
  Press(*window, "look.timed");
  EXPECT_TRUE(Field(*window).isEnabled());
  EXPECT_FALSE(window->TheCommands().Find(QStringLiteral("look.timed"))->isChecked());
  // And it does not go on behind another place.
  Press(*window, "look.timed");
  window->GoTo(QStringLiteral("mark"));
  window->GoTo(QStringLiteral("look"));
  EXPECT_TRUE(Field(*window).isEnabled());
}

TEST_F(WindowTest, ANoteIsRewrittenAndADraftIsNotLostByIt) {
  auto window = NewWindow();
  ASSERT_TRUE(Open(*window, Picture()));
  QPlainTextEdit& field = Field(*window);
  Click(*window, {400, 500});
  QTest::keyClicks(&field, QStringLiteral("the rigth eye"));
  window->TheLookPlace().AddNote();
  QTest::keyClicks(&field, QStringLiteral("a draft"));
  Press(*window, "look.rewrite");
  ASSERT_EQ(Notes(*window).size(), 2u);
  EXPECT_EQ(field.toPlainText(), QStringLiteral("the rigth eye"));
  field.setPlainText(QStringLiteral("the right eye"));
  Press(*window, "look.keep");
  Press(*window, "look.add");
  ASSERT_EQ(Notes(*window).size(), 2u);
  EXPECT_EQ(Notes(*window)[0].text, QStringLiteral("the right eye"));
  EXPECT_EQ(Notes(*window)[0].kind, Note::Kind::kKeep);
  EXPECT_TRUE(Notes(*window)[0].where_px.has_value());
  EXPECT_EQ(Notes(*window)[1].text, QStringLiteral("a draft"));
  EXPECT_TRUE(field.toPlainText().isEmpty());
  Press(*window, "edit.undo");
  EXPECT_EQ(Notes(*window)[0].text, QStringLiteral("the rigth eye"));
  // Left as it was: pressed again, nothing changes.
  window->findChild<QListWidget*>()->setCurrentRow(0);
  Press(*window, "look.rewrite");
  field.setPlainText(QStringLiteral("something else"));
  Press(*window, "look.rewrite");
  EXPECT_EQ(Notes(*window)[0].text, QStringLiteral("the rigth eye"));
  EXPECT_TRUE(field.toPlainText().isEmpty());
}

TEST_F(WindowTest, WhatDidNotOpenIsSaidOnTheStartPage) {
  auto window = NewWindow();
  const QString bad = folder_.filePath(QStringLiteral("bad.png"));
  ASSERT_TRUE(WriteFileAtomic(bad.toStdString(), "no picture"));
  window->OpenPicture(bad);
  const auto said = [&] {
    for (auto* label : window->findChild<StartPage*>()->findChildren<QLabel*>())
      if (label->isVisible() && label->text().contains(QStringLiteral("bad.png:"))) return true;
    return false;
  };
  EXPECT_TRUE(QTest::qWaitFor(said, kPatienceMs)) << window->MessageText().toStdString();
  ASSERT_TRUE(Open(*window, Picture()));
  // Back among the pieces it is no longer said, and the picture is one step away.
  Press(*window, "file.pieces");
  EXPECT_TRUE(window->findChild<StartPage*>()->isVisible());
  EXPECT_FALSE(window->TheCanvas().isVisible());
  EXPECT_FALSE(said());
  Press(*window, "view.picture");
  EXPECT_TRUE(window->TheCanvas().isVisible());
}

TEST_F(WindowTest, ALongMessageIsReadWholeAndThePictureStays) {
  auto window = NewWindow();
  ASSERT_TRUE(Open(*window, Picture()));
  auto* line = window->findChild<MessageLine*>();
  ASSERT_TRUE(line);
  const QSize before = window->TheCanvas().size();
  EXPECT_FALSE(line->Whole().isVisible());
  line->Say(QStringLiteral("Undone"));
  EXPECT_FALSE(line->Whole().isVisible());
  line->Say(QStringLiteral("a long word and another ").repeated(20));
  ASSERT_TRUE(line->Whole().isVisible());
  EXPECT_GE(line->Whole().height(), line->Whole().heightForWidth(line->Whole().width()));
  EXPECT_TRUE(line->Whole().parentWidget()->rect().contains(line->Whole().geometry()));
  EXPECT_EQ(window->TheCanvas().size(), before);
  Press(*window, "view.picture");
  EXPECT_FALSE(line->Whole().isVisible());
  EXPECT_EQ(line->Text().left(6), QStringLiteral("a long"));
}

// A marks file of a newer program (or of another picture) is never written over.
TEST_F(WindowTest, AMarksFileThatIsNotThisPicturesIsKept) {
  auto window = NewWindow();
  const QString picture = Picture();
  ASSERT_TRUE(Open(*window, picture));
  const QString marks = folder_.filePath(QStringLiteral("old.marks.json"));
  const std::string newer = R"({"format": "armslength-marks", "version": 99})";
  ASSERT_TRUE(WriteFileAtomic(marks.toStdString(), newer));
  Press(*window, "file.save_marks");  // nothing to save: the file stays where it is
  EXPECT_TRUE(QFile::exists(marks));
  EXPECT_FALSE(QFile::exists(folder_.filePath(QStringLiteral("old.before.marks.json"))));
  window->TheMarks().SetPoint(PointId::kChin, {800, 500});
  Press(*window, "file.save_marks");
  const auto kept = ReadFile(folder_.filePath(QStringLiteral("old.before.marks.json")).toStdString(), 1 << 20);
  ASSERT_TRUE(kept) << window->MessageText().toStdString();
  EXPECT_EQ(*kept, newer);
  EXPECT_TRUE(window->MessageText().contains(QStringLiteral("old.before.marks.json")));
  // Its own file is written over as before, and nothing else appears.
  window->TheMarks().SetPoint(PointId::kChin, {801, 500});
  Press(*window, "file.save_marks");
  EXPECT_FALSE(QFile::exists(folder_.filePath(QStringLiteral("old.before-2.marks.json"))));
  EXPECT_EQ(window->TheMarkPlace().CopyMarksFrom(marks), QString());
}

TEST_F(WindowTest, ButtonsSayWhatIsSet) {
  auto window = NewWindow();
  ASSERT_TRUE(Open(*window, Picture(QStringLiteral("old"), true)));
  ASSERT_TRUE(QTest::qWaitFor([&] { return !window->TheDocument().Current().marks.figures.empty(); }, kPatienceMs));
  window->GoTo(QStringLiteral("mark"));
  const auto checked = [&](const char* id) { return window->TheCommands().Find(QLatin1String(id))->isChecked(); };
  window->TheMarks().Select(PointId::kKneeL);
  Press(*window, "mark.toward");
  EXPECT_TRUE(checked("mark.toward"));
  EXPECT_FALSE(checked("mark.flat"));
  Press(*window, "mark.away");
  EXPECT_TRUE(checked("mark.away"));
  EXPECT_FALSE(checked("mark.toward"));
  Press(*window, "mark.away");  // again: open
  EXPECT_FALSE(checked("mark.away"));
  window->TheMarks().Select(PointId::kCrown);  // ends no limb
  Press(*window, "mark.toward");
  EXPECT_FALSE(checked("mark.toward"));
  window->TheMarkPlace().Show(MarkPlace::What::kRings);
  QAbstractButton* whole = ButtonOf(*window, "mark.whole_ring");
  ASSERT_TRUE(whole);
  EXPECT_TRUE(whole->isVisible());
  window->TheMarkPlace().Show(MarkPlace::What::kAreas);
  EXPECT_FALSE(whole->isVisible());
}

TEST_F(WindowTest, UndoSaysWhatItUndid) {
  auto window = NewWindow();
  ASSERT_TRUE(Open(*window, Picture()));
  Press(*window, "edit.undo");
  EXPECT_EQ(window->MessageText(), QStringLiteral("Nothing to undo"));
  QTest::keyClicks(&Field(*window), QStringLiteral("one"));
  window->TheLookPlace().AddNote();
  Press(*window, "edit.undo");
  EXPECT_EQ(window->MessageText(), QStringLiteral("Undone: Add note"));
  EXPECT_TRUE(Notes(*window).empty());
  Press(*window, "edit.redo");
  EXPECT_EQ(Notes(*window).size(), 1u);
}

TEST_F(WindowTest, ThePictureAloneIsSaidAndEndsWithThePlace) {
  auto window = NewWindow();
  ASSERT_TRUE(Open(*window, Picture()));
  Press(*window, "view.overlay");
  EXPECT_FALSE(window->TheCanvas().OverlayShown());
  EXPECT_TRUE(window->MessageText().contains(QStringLiteral("B or another place"))) << window->MessageText().toStdString();
  window->GoTo(QStringLiteral("mark"));
  EXPECT_TRUE(window->TheCanvas().OverlayShown());
}

TEST_F(WindowTest, FittingTwiceStandsATurnedPictureUpright) {
  auto window = NewWindow();
  ASSERT_TRUE(Open(*window, Picture()));
  Press(*window, "view.turn_right");
  Press(*window, "view.in");
  EXPECT_EQ(window->TheCanvas().Turn(), 5.0);
  Press(*window, "view.fit");
  EXPECT_EQ(window->TheCanvas().Turn(), 5.0);  // turned for the hand: kept
  Press(*window, "view.fit");
  EXPECT_EQ(window->TheCanvas().Turn(), 0.0);
}

TEST_F(WindowTest, AWheelOverThePanelChangesNoList) {
  auto window = NewWindow();
  ASSERT_TRUE(Open(*window, Picture()));
  window->GoTo(QStringLiteral("critique"));
  for (auto* box : window->TheCritiquePlace().findChildren<QComboBox*>()) {
    const int before = box->currentIndex();
    const QPointF at(box->rect().center());
    QWheelEvent wheel(at, box->mapToGlobal(at), {}, {0, -120}, Qt::NoButton, Qt::NoModifier, Qt::NoScrollPhase, false);
    QCoreApplication::sendEvent(box, &wheel);
    EXPECT_EQ(box->currentIndex(), before) << box->accessibleName().toStdString();
  }
  EXPECT_FALSE(window->TheDocument().Current().stage.has_value());
}

// The help of the place with the most keys, in a window as low as 250 % leaves of a screen of 2560 x 1440.
TEST_F(WindowTest, TheHelpSheetScrollsInALowWindow) {
  auto window = NewWindow();
  ASSERT_TRUE(Open(*window, Picture()));
  window->resize(1024, 576);
  window->GoTo(QStringLiteral("mark"));
  Press(*window, "view.help");
  auto* sheet = window->findChild<HelpSheet*>();
  ASSERT_TRUE(sheet->isVisible());
  auto* area = sheet->findChild<QScrollArea*>();
  QTest::qWait(50);
  EXPECT_TRUE(sheet->parentWidget()->rect().contains(sheet->geometry()));
  EXPECT_GE(area->widget()->height(), area->widget()->sizeHint().height());
  EXPECT_GT(area->verticalScrollBar()->maximum(), 0);
  Press(*window, "view.picture");
  EXPECT_FALSE(sheet->isVisible());
}

// A guess that comes after another picture was opened is not that picture's.
TEST_F(WindowTest, AProposalOfTheLastPictureIsNotTakenForThisOne) {
  auto window = NewWindow();
  const QString first = Picture(), second = Picture(QStringLiteral("redraw"));
  ASSERT_TRUE(Open(*window, first));
  window->GoTo(QStringLiteral("mark"));
  Press(*window, "mark.propose");
  ASSERT_TRUE(Open(*window, second));
  QThreadPool::globalInstance()->waitForDone();
  QTest::qWait(200);
  EXPECT_TRUE(window->TheDocument().Current().marks.figures.empty());
  Press(*window, "mark.propose");
  EXPECT_TRUE(QTest::qWaitFor([&] { return !window->TheDocument().Current().marks.figures.empty(); }, kPatienceMs));
}

// 1280 x 800 is a common small screen; the frame and a desktop's bar take some of it.
TEST_F(WindowTest, AShortPlaceDoesNotScrollInALowWindow) {
  auto window = NewWindow();
  ASSERT_TRUE(Open(*window, Picture()));
  window->resize(1270, 756);
  const auto scrolls = [&] {
    QTest::qWait(50);
    for (QWidget* w = window->TheLookPlace().parentWidget(); w; w = w->parentWidget())
      if (auto* area = qobject_cast<QScrollArea*>(w)) return area->verticalScrollBar()->maximum() > 0;
    return true;
  };
  EXPECT_FALSE(scrolls());
  QTest::keyClicks(&Field(*window), QStringLiteral("one"));
  window->TheLookPlace().AddNote();
  EXPECT_FALSE(scrolls());
  EXPECT_TRUE(ButtonOf(*window, "look.rewrite")->isVisible());
}

TEST_F(WindowTest, TheFirstWindowFitsItsScreen) {
  const MainWindow window(folder_.filePath(QStringLiteral("fit.sqlite")));
  EXPECT_LE(window.height(), window.screen()->availableSize().height());
  EXPECT_LE(window.width(), window.screen()->availableSize().width());
}

// What a start page with pieces needs must not push the side view off a small screen.
TEST_F(WindowTest, TheSideViewFitsASmallScreen) {
  auto window = NewWindow();
  ASSERT_TRUE(Open(*window, Picture()));
  window->resize(960, 510);
  Press(*window, "view.upright");
  QTest::qWait(100);
  EXPECT_LE(window->width(), 960);
  EXPECT_LE(window->height(), 510);
}

TEST_F(WindowTest, ACritiqueWithoutAFigureSaysSo) {
  auto window = NewWindow();
  ASSERT_TRUE(Open(*window, Picture()));
  ASSERT_TRUE(CritiqueIsThere(*window));
  const auto says = [&] {
    for (auto* label : window->TheCritiquePlace().findChildren<QLabel*>())
      if (label->isVisible() && label->text().contains(QStringLiteral("No figure is marked yet"))) return true;
    return false;
  };
  EXPECT_TRUE(says());
  window->TheMarks().SetPoint(PointId::kChin, {800, 500});
  ASSERT_TRUE(CritiqueIsThere(*window));
  EXPECT_FALSE(says());
}

TEST_F(WindowTest, AViewThatIsNotThereSaysWhy) {
  auto window = NewWindow();
  ASSERT_TRUE(Open(*window, Picture()));
  window->TheLookPlace().Views().SetReport(nullptr);
  Press(*window, "look.silhouette");
  EXPECT_FALSE(window->TheCommands().Find(QStringLiteral("look.silhouette"))->isChecked());
  EXPECT_EQ(window->MessageText(), QStringLiteral("Silhouette: Being worked out"));
}

}  // namespace
}  // namespace armslength::app
