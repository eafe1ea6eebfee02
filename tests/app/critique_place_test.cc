// The critique place and the views, with real events on the demo's old picture.
#include <QAccessible>
#include <QComboBox>
#include <QLabel>
#include <QScrollArea>
#include <QSignalSpy>
#include <QVBoxLayout>

#include "app/critique/critique_place.h"
#include "app/critique/section.h"
#include "app/critique/shape_painter.h"
#include "app/views/solid_view.h"
#include "app/views/standing_view.h"
#include "app/window/commands.h"
#include "app/window/look_and_feel.h"
#include "marks/marks_file.h"
#include "window_fixture.h"

namespace armslength::app {
namespace {

// Measured once for all tests; each test starts from the same work.
class Bench {
 public:
  static Bench& The() {
    static auto* bench = new Bench;  // never destroyed: QApplication goes first
    return *bench;
  }
  Document document;
  QWidget window;
  Canvas* canvas = nullptr;
  Commands* commands = nullptr;
  CritiquePlace* place = nullptr;
  QScrollArea* area = nullptr;
  Work start;
  bool ready = false;

 private:
  Bench() {
    auto* row = new QHBoxLayout(&window);
    commands = new Commands(&window);
    canvas = new Canvas(&window);
    place = new CritiquePlace(document, *canvas, *commands);
    area = new QScrollArea(&window);
    area->setWidget(place);
    area->setWidgetResizable(true);
    area->setFixedWidth(344);
    area->setHorizontalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
    row->addWidget(area);
    row->addWidget(canvas, 1);
    window.resize(1100, 860);
    QObject::connect(&document, &Document::PictureReady, canvas, [this] { canvas->SetPicture(document.Picture()); });
    document.Open(DemoFolder() + QStringLiteral("/old.png"));
    if (!QTest::qWaitFor([this] { return document.Picture() != nullptr; }, kPatienceMs)) return;
    const auto marks = LoadMarks((DemoFolder() + QStringLiteral("/old.marks.json")).toStdString());
    if (!marks) return;
    start = document.Current();
    start.marks = *marks;
    document.Restore(start);
    window.show();
    if (!QTest::qWaitForWindowExposed(&window)) return;
    commands->EnterGroup(QStringLiteral("critique"));
    place->Enter();
    ready = QTest::qWaitFor([this] { return place->Fresh() && place->Result()->measured.picture_checked; }, kPatienceMs);
  }
};

class CritiquePlaceTest : public testing::Test {
 protected:
  void SetUp() override {
    ASSERT_TRUE(b.ready);
    b.document.Restore(b.start);
    QTest::qWait(20);
    b.window.activateWindow();
    b.place->Choose(AnswerKey(b.place->Cards().front()->TheFinding()));
    QTest::qWait(20);
  }
  [[nodiscard]] std::vector<std::string> First() const {
    std::vector<std::string> ids;
    for (const Finding& f : b.place->Shown().critique.first) ids.push_back(f.id);
    return ids;
  }
  void Key(Qt::Key key) {
    QTest::keyClick(QApplication::focusWidget() ? QApplication::focusWidget() : b.place, key);
    QTest::qWait(10);
  }
  Bench& b = Bench::The();
};

TEST_F(CritiquePlaceTest, ShowsThreeFirstAndTheRestFolded) {
  ASSERT_EQ(First().size(), 3u);
  EXPECT_EQ(First()[0], "body.legs.length") << "put into the demo: legs too long";
  const auto cards = b.place->Cards();
  for (std::size_t i = 0; i < 3; ++i) {
    EXPECT_TRUE(cards[i]->Unfolded());
    EXPECT_TRUE(cards[i]->isVisibleTo(b.place));
  }
  std::size_t hidden = 0;
  for (std::size_t i = 3; i < cards.size(); ++i) hidden += cards[i]->isVisibleTo(b.place) ? 0 : 1;
  EXPECT_EQ(hidden, cards.size() - 3);
}

TEST_F(CritiquePlaceTest, NotSoByKeyGoesAndComesBackWithUndo) {
  const auto before = First();
  Key(Qt::Key_S);
  ASSERT_EQ(b.document.Current().not_so.size(), 1u);
  EXPECT_EQ(AnswerParts(b.document.Current().not_so[0]).first.toStdString(), before[0]);
  ASSERT_EQ(b.place->Shown().disagreed.size(), 1u);
  EXPECT_EQ(First()[0], before[1]) << "the next one moves up";
  ASSERT_NE(b.place->Current(), nullptr);
  b.document.Undo().undo();
  QTest::qWait(20);
  EXPECT_EQ(First(), before);
  EXPECT_TRUE(b.document.Current().not_so.empty());
  b.document.Undo().redo();
  QTest::qWait(20);
  EXPECT_EQ(b.place->Shown().disagreed.size(), 1u);
}

TEST_F(CritiquePlaceTest, MeantByMouseGoesIntoTheMarksWithoutMeasuringAgain) {
  const auto result = b.place->Result();
  FindingCard* card = b.place->Cards().front();
  auto* button = card->Button(Given::kMeant);
  // The cards were laid out anew a moment ago: a person clicks where the button is seen.
  ASSERT_TRUE(QTest::qWaitFor([&] {
    b.area->ensureWidgetVisible(button);
    return b.window.childAt(button->mapTo(&b.window, button->rect().center())) == button;
  }));
  QTest::mouseClick(button, Qt::LeftButton);
  QTest::qWait(400);  // longer than the wait before a new measurement
  EXPECT_EQ(b.document.Current().marks.figures[0].meant, std::vector<std::string>{"body.legs.length"});
  ASSERT_EQ(b.place->Shown().critique.meant.size(), 1u);
  EXPECT_TRUE(b.place->Fresh());
  EXPECT_EQ(b.place->Result(), result);
}

TEST_F(CritiquePlaceTest, TheSameAnswerAgainTakesItBack) {
  Key(Qt::Key_A);
  EXPECT_EQ(b.document.Current().agreed.size(), 1u);
  EXPECT_EQ(First()[0], "body.legs.length") << "agreed: it stays";
  EXPECT_TRUE(b.place->Cards().front()->Button(Given::kAgree)->isChecked());
  ASSERT_NE(b.place->Current(), nullptr);
  EXPECT_EQ(b.place->Current()->TheFinding().id, "body.legs.length") << "and stays in front";
  Key(Qt::Key_A);
  EXPECT_TRUE(b.document.Current().agreed.empty());
}

TEST_F(CritiquePlaceTest, KeysWalkThroughTheCards) {
  const auto cards = b.place->Cards();
  ASSERT_TRUE(cards[0]->IsCurrent());
  Key(Qt::Key_W);
  EXPECT_TRUE(cards[1]->IsCurrent());
  Key(Qt::Key_W);
  Key(Qt::Key_W);  // no further: the rest is folded
  EXPECT_TRUE(cards[2]->IsCurrent());
  Key(Qt::Key_Q);
  EXPECT_TRUE(cards[1]->IsCurrent());
}

TEST_F(CritiquePlaceTest, ShowsTheFindingOnThePicture) {
  b.canvas->FitPicture();
  const double fitted = b.canvas->Zoom();
  b.place->Choose(AnswerKey(b.place->Shown().critique.first[1]));  // in the face
  Key(Qt::Key_E);
  EXPECT_GT(b.canvas->Zoom(), 2.0 * fitted);
  // Orange or blue of the overlay is on the canvas, and gone when the place is left.
  const auto coloured = [&] {
    const QImage image = b.canvas->grab().toImage();
    int count = 0;
    for (int y = 0; y < image.height(); ++y)
      for (int x = 0; x < image.width(); ++x) {
        const QColor c = image.pixelColor(x, y);
        count += c == Colours::Target() || c == Colours::Drawn() ? 1 : 0;
      }
    return count;
  };
  EXPECT_GT(coloured(), 40);
  b.place->Leave();
  EXPECT_LT(coloured(), 10);
  b.place->Enter();
}

TEST_F(CritiquePlaceTest, FiltersByStage) {
  QComboBox* stage = nullptr;
  for (auto* box : b.place->findChildren<QComboBox*>())
    if (box->accessibleName() == QStringLiteral("Stage of the finding")) stage = box;
  ASSERT_TRUE(stage);
  stage->setCurrentIndex(stage->findData(static_cast<int>(Stage::kLine)));
  ASSERT_FALSE(b.place->Cards().empty());
  for (const FindingCard* card : b.place->Cards()) EXPECT_EQ(card->TheFinding().stage, Stage::kLine);
  stage->setCurrentIndex(0);
  EXPECT_EQ(First().size(), 3u);
}

TEST_F(CritiquePlaceTest, NotesStandBesideAndCanBeLinked) {
  Work work = b.start;
  Note legs;
  legs.id = 1;
  legs.text = QStringLiteral("Those legs");
  const auto& marks = work.marks.figures[0];
  const Vec2 knee = *marks.At(PointId::kKneeL);
  legs.where_px = QRectF(knee.x() - 10, knee.y() - 10, 20, 20);
  Note sky;
  sky.id = 2;
  sky.text = QStringLiteral("Dull sky");
  work.notes = {legs, sky};
  b.document.Change(QStringLiteral("notes"), work);
  QTest::qWait(30);
  const auto button = [&](const QString& text) -> QAbstractButton* {
    for (auto* candidate : b.place->findChildren<QAbstractButton*>())
      if (candidate->text() == text && candidate->isVisibleTo(b.place)) return candidate;
    return nullptr;
  };
  ASSERT_NE(b.place->Current(), nullptr);
  ASSERT_TRUE(QTest::qWaitFor([&] { return button(QStringLiteral("Link")) != nullptr; }, kPatienceMs));
  QTest::mouseClick(button(QStringLiteral("Link")), Qt::LeftButton);
  EXPECT_EQ(b.document.Current().notes[1].finding, QStringLiteral("body.legs.length"));
  ASSERT_TRUE(QTest::qWaitFor([&] { return button(QStringLiteral("Unlink")) != nullptr; }, kPatienceMs));
  QTest::mouseClick(button(QStringLiteral("Unlink")), Qt::LeftButton);
  EXPECT_TRUE(b.document.Current().notes[1].finding.isEmpty());
}

TEST_F(CritiquePlaceTest, WhatIsOlderThanTheMarksSaysSo) {
  Work work = b.start;
  work.marks.figures[0].points[PointId::kToeL].x() += 3.0;
  b.document.Change(QStringLiteral("nudge"), work);
  QTest::qWait(20);
  EXPECT_FALSE(b.place->Fresh());
  bool said = false;
  for (const QLabel* label : b.place->findChildren<QLabel*>())
    said = said || (label->isVisibleTo(b.place) && label->text().contains(QStringLiteral("before your last change")));
  EXPECT_TRUE(said);
  Key(Qt::Key_S);  // nothing is answered about what may be gone
  EXPECT_TRUE(b.document.Current().not_so.empty());
  EXPECT_TRUE(QTest::qWaitFor([&] { return b.place->Fresh(); }, kPatienceMs));
  b.document.Restore(b.start);
  EXPECT_TRUE(QTest::qWaitFor([&] { return b.place->Fresh() && b.place->Result()->measured.picture_checked; }, kPatienceMs));
}

TEST_F(CritiquePlaceTest, CardsAndButtonsHaveNames) {
  for (const FindingCard* card : b.place->Cards()) EXPECT_FALSE(card->accessibleName().isEmpty());
  for (const auto* button : b.place->findChildren<QAbstractButton*>())
    if (button->isVisibleTo(b.place) && !button->text().isEmpty()) {
      EXPECT_FALSE(QAccessible::queryAccessibleInterface(const_cast<QAbstractButton*>(button))->text(QAccessible::Name).isEmpty());
    }
}

TEST_F(CritiquePlaceTest, NothingIsWiderThanThePanel) {
  for (const Section* section : b.place->findChildren<Section*>()) const_cast<Section*>(section)->SetOpen(true);
  QTest::qWait(50);
  const int room = b.area->viewport()->width();
  EXPECT_LE(b.place->width(), room);
  for (const QWidget* child : b.place->findChildren<QWidget*>()) {
    if (!child->isVisibleTo(b.place)) continue;
    EXPECT_LE(child->mapTo(b.place, QPoint(child->width(), 0)).x(), room) << child->metaObject()->className();
    // No hole round a crop that is shown smaller than the room it was given.
    if (child->hasHeightForWidth() && qobject_cast<const CropView*>(child)) {
      EXPECT_EQ(child->height(), child->heightForWidth(child->width()));
    }
    if (const auto* label = qobject_cast<const QLabel*>(child); label && label->wordWrap()) {
      EXPECT_GE(label->height(), label->heightForWidth(label->width())) << label->text().toStdString();
    }
  }
}

// WCAG 2.1, 1.4.3 and 1.4.11: 4.5:1 for text, 3:1 for lines that carry meaning.
TEST(Colours, KeepTheirContrastInBothThemes) {
  for (const bool dark : {false, true}) {
    const QPalette p = NeutralPalette(dark);
    for (const auto ground : {QPalette::Window, QPalette::Base}) {
      EXPECT_GE(Contrast(QuietTextOn(p), p.color(ground)), 4.5);
      EXPECT_GE(Contrast(DrawnOn(p), p.color(ground)), 3.0);
      EXPECT_GE(Contrast(TargetOn(p), p.color(ground)), 3.0);
    }
    EXPECT_GE(Contrast(p.color(QPalette::ButtonText), p.color(QPalette::Button)), 4.5);
    EXPECT_GE(Contrast(p.color(QPalette::HighlightedText), p.color(QPalette::Highlight)), 4.5);
  }
  EXPECT_NEAR(Contrast(Qt::black, Qt::white), 21.0, 1e-9);  // the ratio's own end, WCAG 2.1
}

class ViewsTest : public CritiquePlaceTest {
 protected:
  [[nodiscard]] const FigureCritique& Figure() const { return b.place->Result()->measured.figures[0]; }
};

TEST_F(ViewsTest, TheBodyStartsAsThePictureShowsIt) {
  SolidView view(SolidView::Part::kBody);
  view.resize(400, 500);
  view.show();
  view.Show(Figure().body, Figure().head);
  // Joints lie as the camera puts them on the picture, but for one scale and one shift.
  const BodyReading& body = *Figure().body;
  const QPointF a = *view.ShownAt(body.Joint(PointId::kCrown)), c = *view.ShownAt(body.Joint(PointId::kAnkleR));
  const Vec2 pa = body.JointPx(PointId::kCrown), pc = body.JointPx(PointId::kAnkleR);
  const double zoom = std::hypot(a.x() - c.x(), a.y() - c.y()) / (pa - pc).norm();
  for (int i = 0; i < kBodyPointCount; ++i) {
    const auto id = static_cast<PointId>(i);
    const QPointF at = *view.ShownAt(body.Joint(id));
    const Vec2 expected = (body.JointPx(id) - pa) * zoom;
    EXPECT_NEAR(at.x() - a.x(), expected.x(), 1e-6) << Name(id);
    EXPECT_NEAR(at.y() - a.y(), expected.y(), 1e-6) << Name(id);
    EXPECT_TRUE(QRectF(view.rect()).contains(at)) << Name(id);
  }
}

TEST_F(ViewsTest, DragAndKeysTurnItAndHomeBringsItBack) {
  SolidView view(SolidView::Part::kBody);
  view.resize(400, 500);
  view.Show(Figure().body, Figure().head);
  view.show();
  const QImage before = view.grab().toImage();
  const double nose = view.ShownAt(Figure().body->Joint(PointId::kToeL))->x();
  QTest::mousePress(&view, Qt::LeftButton, {}, {200, 250});
  QMouseEvent move(QEvent::MouseMove, QPointF(280, 250), view.mapToGlobal(QPointF(280, 250)), Qt::NoButton, Qt::LeftButton, {});
  QApplication::sendEvent(&view, &move);
  QTest::mouseRelease(&view, Qt::LeftButton, {}, {280, 250});
  EXPECT_GT(view.Around(), 0.3) << "to the right: the near side goes right";
  EXPECT_NE(view.ShownAt(Figure().body->Joint(PointId::kToeL))->x(), nose);
  EXPECT_NE(view.grab().toImage(), before);
  QTest::keyClick(&view, Qt::Key_Home);
  EXPECT_EQ(view.Around(), 0.0);
  EXPECT_EQ(view.grab().toImage(), before);
  for (int i = 0; i < 36; ++i) QTest::keyClick(&view, Qt::Key_Right);
  EXPECT_NEAR(view.Around(), 0.0, 1e-9) << "once round";
  for (int i = 0; i < 36; ++i) QTest::keyClick(&view, Qt::Key_Down);
  EXPECT_LT(view.Over(), 1.6) << "never over the top";
}

TEST_F(ViewsTest, LengthsThatAreOffAreThereTwice) {
  const auto lengths = LengthsOff(*Figure().body);
  ASSERT_EQ(lengths.size(), 2u) << "both legs";
  double factor = 0.0;
  for (const LengthHypothesis& h : Figure().body->hypotheses)
    if (h.off) factor = h.factor;
  const auto length = [](const std::vector<Vec3>& way) {
    double sum = 0.0;
    for (std::size_t i = 1; i < way.size(); ++i) sum += (way[i] - way[i - 1]).norm();
    return sum;
  };
  for (const ClayLength& l : lengths) EXPECT_NEAR(length(l.drawn) / length(l.target), factor, 1e-9);
}

TEST_F(ViewsTest, WithoutAReadingTheySayWhy) {
  SolidView body(SolidView::Part::kBody), head(SolidView::Part::kHead);
  StandingView standing;
  for (QWidget* w : {static_cast<QWidget*>(&body), static_cast<QWidget*>(&head), static_cast<QWidget*>(&standing)}) {
    w->resize(300, 300);
    const QImage image = w->grab().toImage();
    int dark = 0;
    for (int y = 100; y < 200; ++y)
      for (int x = 20; x < 280; ++x) dark += image.pixelColor(x, y).lightness() < 100 ? 1 : 0;
    EXPECT_GT(dark, 100) << w->metaObject()->className();
  }
  BodyReading unusable;
  unusable.why_not = "Too few marks.";
  body.Show(unusable, std::nullopt);
  EXPECT_FALSE(body.ShownAt(Vec3::Zero()).has_value());
  standing.Show(Figure().standing, QStringLiteral("adult-7.5"));
  EXPECT_TRUE(standing.accessibleDescription().contains(QStringLiteral("legs")));
}

}  // namespace
}  // namespace armslength::app
