// What the artist says about a piece: canon and character of a figure, stage of the piece.
#include <QComboBox>
#include <QFile>
#include <Eigen/Geometry>

#include "app/critique/critique_place.h"
#include "app/places/figure_choices.h"
#include "app/places/mark_place.h"
#include "app/window/commands.h"
#include "canon/canon.h"
#include "marks/marks_file.h"
#include "reading/head/character_file.h"
#include "window_fixture.h"

namespace armslength::app {
namespace {

QComboBox* ListNamed(QWidget& in, const char* name) {
  for (auto* box : in.findChildren<QComboBox*>())
    if (box->accessibleName() == QLatin1String(name)) return box;
  return nullptr;
}

// As a person with the keyboard: focus, then arrows until the entry is there, which "activates" each.
bool ChooseEntry(QComboBox* list, const QString& text) {
  if (!list || list->findText(text) < 0) return false;
  list->setFocus();
  for (int i = 0; i < list->count() && list->currentText() != text; ++i)
    QTest::keyClick(list, list->findText(text) > list->currentIndex() ? Qt::Key_Down : Qt::Key_Up);
  return list->currentText() == text;
}

class ChoicesTest : public WindowTest {
 protected:
  void SetUp() override {
    WindowTest::SetUp();
    picture_ = Picture(QStringLiteral("old"), true);
    HeadProfile head = BuiltInHeadProfile("classical");
    head.name = "Pia of the kites";
    head.drawings = 4;
    ASSERT_TRUE(SaveCharacter(head, folder_.filePath(QStringLiteral("pia.character.json")).toStdString()));
    Canon canon = *FindCanon("adult-8");
    canon.name = "kite-people";
    canon.title = "Kite people";
    ASSERT_TRUE(SaveCanon(canon, folder_.filePath(QStringLiteral("kites.canon.json")).toStdString()));
  }
  std::unique_ptr<MainWindow> Opened() {
    auto window = NewWindow();
    EXPECT_TRUE(Open(*window, picture_));
    EXPECT_TRUE(QTest::qWaitFor([&] { return !window->TheDocument().Current().marks.figures.empty(); }, kPatienceMs));
    return window;
  }
  static bool Read(MainWindow& window) {
    return QTest::qWaitFor(
        [&] {
          return window.LatestReading() && window.LatestReading()->revision == window.TheDocument().MarksRevision() &&
                 !window.LatestReading()->pose_only;
        },
        kPatienceMs);
  }
  QString picture_;
};

TEST_F(ChoicesTest, ACharacterBesideThePictureIsChosenKeptAndUsed) {
  {
    auto window = Opened();
    window->GoTo(QStringLiteral("mark"));
    ASSERT_TRUE(Read(*window));
    ASSERT_TRUE(window->LatestReading()->head);
    EXPECT_NE(window->LatestReading()->head->prior.name, "Pia of the kites");
    ASSERT_TRUE(ChooseEntry(ListNamed(window->TheMarkPlace(), "Character whose head this figure is judged against"),
                            QStringLiteral("Pia of the kites")));
    ASSERT_TRUE(Read(*window));
    EXPECT_EQ(window->LatestReading()->head->prior.name, "Pia of the kites");
    ASSERT_TRUE(CritiqueIsThere(*window));
    ASSERT_TRUE(window->TheCritiquePlace().Result()->measured.figures.at(0).head);
    EXPECT_EQ(window->TheCritiquePlace().Result()->measured.figures[0].head->prior.name, "Pia of the kites");
    // Taken back, and forth again.
    const int steps = window->TheDocument().Undo().index();
    QTest::keyClick(window.get(), Qt::Key_Z, Qt::ControlModifier);
    EXPECT_EQ(window->TheDocument().Undo().index(), steps - 1);
    EXPECT_TRUE(window->TheDocument().Current().characters.empty());
    ASSERT_TRUE(Read(*window));
    EXPECT_NE(window->LatestReading()->head->prior.name, "Pia of the kites");
    window->TheDocument().Undo().redo();
    window->TheKeeper().Flush();
  }
  auto window = Opened();
  ASSERT_EQ(window->TheDocument().Current().characters.size(), 1u);
  window->GoTo(QStringLiteral("mark"));
  EXPECT_EQ(ListNamed(window->TheMarkPlace(), "Character whose head this figure is judged against")->currentText(),
            QStringLiteral("Pia of the kites"));
  ASSERT_TRUE(Read(*window));
  EXPECT_EQ(window->LatestReading()->head->prior.name, "Pia of the kites");
}

TEST_F(ChoicesTest, ACharacterFileThatIsGoneIsSaidAndTheHeadJudgedFreely) {
  auto window = Opened();
  EXPECT_EQ(window->TheMarkPlace().Choices().ChooseCharacter(folder_.filePath(QStringLiteral("pia.character.json"))), QString());
  EXPECT_NE(window->TheMarkPlace().Choices().ChooseCharacter(folder_.filePath(QStringLiteral("none.character.json"))), QString());
  EXPECT_NE(window->TheMarkPlace().Choices().ChooseCharacter(picture_), QString()) << "a picture is no character";
  EXPECT_EQ(window->TheDocument().Undo().count(), 1) << "refused files change nothing";
  ASSERT_TRUE(QFile::remove(folder_.filePath(QStringLiteral("pia.character.json"))));
  ASSERT_TRUE(CritiqueIsThere(*window));
  const auto& measured = window->TheCritiquePlace().Result()->measured;
  ASSERT_EQ(measured.trouble.size(), 1u);
  EXPECT_NE(measured.trouble[0].find("pia.character.json"), std::string::npos);
  EXPECT_EQ(measured.figures.at(0).head->prior.name, "free");
  EXPECT_GT(window->TheCritiquePlace().Shown().critique.first.size(), 0u);
}

TEST_F(ChoicesTest, ACanonFileBesideThePictureIsDeclared) {
  auto window = Opened();
  window->GoTo(QStringLiteral("mark"));
  ASSERT_TRUE(ChooseEntry(ListNamed(window->TheMarkPlace(), "Proportions you declare for this figure"), QStringLiteral("Kite people")));
  EXPECT_EQ(window->TheDocument().Current().marks.figures[0].canon, "kites.canon.json") << "named beside the picture";
  ASSERT_TRUE(Read(*window));
  EXPECT_EQ(window->LatestReading()->reading.canon.canon.name, "kite-people");
  EXPECT_NE(window->TheMarkPlace().Choices().DeclareCanon(QStringLiteral("no-such-canon")), QString());
}

TEST_F(ChoicesTest, AStageHoldsLaterFindingsBackAndIsKept) {
  {
    auto window = Opened();
    ASSERT_TRUE(CritiqueIsThere(*window));
    const auto later = [&] {
      std::size_t count = 0;
      for (const Finding* f : window->TheCritiquePlace().Shown().critique.All()) count += f->stage > Stage::kConstruction ? 1 : 0;
      return count;
    };
    ASSERT_GT(later(), 0u);
    ASSERT_TRUE(ChooseEntry(ListNamed(window->TheCritiquePlace(), "Stage the piece is at"), QStringLiteral("construction sketch")));
    EXPECT_EQ(window->TheDocument().Current().stage, Stage::kConstruction);
    ASSERT_TRUE(CritiqueIsThere(*window));
    EXPECT_EQ(later(), 0u);
    EXPECT_GT(window->TheCritiquePlace().Shown().critique.held_back, 0);
    EXPECT_FALSE(window->TheCritiquePlace().Shown().critique.first.empty()) << "the long legs are asked at this stage";
    window->TheKeeper().Flush();
  }
  auto window = Opened();
  EXPECT_EQ(window->TheDocument().Current().stage, Stage::kConstruction);
  auto* list = ListNamed(window->TheCritiquePlace(), "Stage the piece is at");
  EXPECT_EQ(list->currentText(), QStringLiteral("construction sketch"));
  ASSERT_TRUE(ChooseEntry(list, QStringLiteral("any stage")));
  EXPECT_FALSE(window->TheDocument().Current().stage);
  window->TheDocument().Undo().undo();  // the arrow key came past this one
  EXPECT_EQ(window->TheDocument().Current().stage, Stage::kThumbnail);
  EXPECT_EQ(list->currentText(), QStringLiteral("thumbnail"));
}

// Six points of a figure that faces us: both toes are proposed in front of their ankles and not inward.
TEST_F(ChoicesTest, ProposedFeetPointForward) {
  for (const char* pose : {"old", "redraw"}) {
    Marks marks = *LoadMarks((DemoFolder() + QLatin1Char('/') + QLatin1String(pose) + QStringLiteral(".marks.json")).toStdString());
    FigureMarks six = marks.figures[0];
    std::erase_if(six.points, [](const auto& p) {
      return p.first != PointId::kCrown && p.first != PointId::kChin && p.first != PointId::kNeckPit &&
             p.first != PointId::kHipL && p.first != PointId::kHipR && p.first != PointId::kShoulderL;
    });
    six.depth.clear();
    LiveReading live;
    std::shared_ptr<const LiveResult> got;
    QObject::connect(
        &live, &LiveReading::Ready, QCoreApplication::instance(), [&](std::shared_ptr<const LiveResult> r) { got = std::move(r); },
        Qt::QueuedConnection);
    live.Request(1, 0, six, *FindCanon("adult-7.5"));
    ASSERT_TRUE(QTest::qWaitFor([&] { return got && !got->pose_only; }, kPatienceMs));
    const BodyReading& r = got->reading;
    ASSERT_TRUE(r.usable);
    const Vec3 left = (r.Joint(PointId::kHipL) - r.Joint(PointId::kHipR)).normalized();
    const Vec3 trunk = r.Joint(PointId::kNeckPit) - 0.5 * (r.Joint(PointId::kHipL) + r.Joint(PointId::kHipR));
    const Vec3 ahead = left.cross(trunk).normalized();
    const Vec3 foot_l = r.Joint(PointId::kToeL) - r.Joint(PointId::kAnkleL), foot_r = r.Joint(PointId::kToeR) - r.Joint(PointId::kAnkleR);
    EXPECT_GT(foot_l.dot(ahead), 0.5 * foot_l.norm()) << pose;
    EXPECT_GT(foot_r.dot(ahead), 0.5 * foot_r.norm()) << pose;
    EXPECT_GT(foot_l.dot(left), 0.0) << "the left foot turns out to the left";
    EXPECT_LT(foot_r.dot(left), 0.0);
    EXPECT_NEAR(foot_l.norm(), r.length[static_cast<std::size_t>(BoneId::kFootL)], 1e-9);
  }
}

}  // namespace
}  // namespace armslength::app
