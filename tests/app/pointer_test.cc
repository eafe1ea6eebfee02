// Pens, touch and mice through one decoder.
#include <QPointingDevice>
#include <QTabletEvent>

#include "app/places/mark_place.h"
#include "window_fixture.h"

namespace armslength::app {
namespace {

const QPointingDevice& Pen() {
  // Never deleted: a device must not outlive the application, whose end comes before that of statics.
  static const auto* pen = new QPointingDevice(QStringLiteral("pen"), 1, QInputDevice::DeviceType::Stylus,
                                   QPointingDevice::PointerType::Pen,
                                   QInputDevice::Capability::Position | QInputDevice::Capability::Pressure, 1, 3);
  return *pen;
}

void Send(Canvas& canvas, QEvent::Type type, const QPointF& at, double pressure) {
  QTabletEvent event(type, &Pen(), at, canvas.mapToGlobal(at), pressure, 0, 0, 0, 0, 0, Qt::NoModifier,
                     type == QEvent::TabletMove ? Qt::NoButton : Qt::LeftButton,
                     type == QEvent::TabletRelease ? Qt::NoButton : Qt::LeftButton);
  QCoreApplication::sendEvent(&canvas, &event);
  EXPECT_TRUE(event.isAccepted());  // else it would come back as a mouse event
}

class PenTest : public WindowTest {
 protected:
  void SetUp() override {
    WindowTest::SetUp();
    window_ = NewWindow();
    ASSERT_TRUE(Open(*window_, Picture()));
    window_->GoTo(QStringLiteral("mark"));
    window_->TheMarks().SetSnapping(false);
  }
  std::unique_ptr<MainWindow> window_;
};

TEST_F(PenTest, AMarkIsSetBetweenPixels) {
  Canvas& canvas = window_->TheCanvas();
  canvas.CentreOn({900, 1300}, 2.0);
  const QPointF at(300.25, 200.75);  // a pen knows more than whole pixels
  Send(canvas, QEvent::TabletPress, at, 0.4);
  Send(canvas, QEvent::TabletRelease, at, 0.0);
  const QPointF wanted = canvas.PictureFromWidget(at);
  const Vec2 set = window_->TheDocument().Current().marks.figures.at(0).points.at(PointId::kCrown);
  EXPECT_NEAR(set.x(), wanted.x(), 1e-9);
  EXPECT_NEAR(set.y(), wanted.y(), 1e-9);
}

TEST_F(PenTest, APenWithoutPressureWorks) {
  Canvas& canvas = window_->TheCanvas();
  Send(canvas, QEvent::TabletPress, {200, 200}, 0.0);
  Send(canvas, QEvent::TabletMove, {230, 240}, 0.0);
  Send(canvas, QEvent::TabletRelease, {230, 240}, 0.0);
  const Vec2 set = window_->TheDocument().Current().marks.figures.at(0).points.at(PointId::kCrown);
  const QPointF wanted = canvas.PictureFromWidget({230, 240});
  EXPECT_NEAR(set.x(), wanted.x(), 1e-6);
  EXPECT_NEAR(set.y(), wanted.y(), 1e-6);
}

TEST_F(PenTest, TheMouseEchoOfAPenSetsNothing) {
  Canvas& canvas = window_->TheCanvas();
  Send(canvas, QEvent::TabletPress, {200, 200}, 0.5);
  QTest::mouseClick(&canvas, Qt::LeftButton, Qt::NoModifier, {200, 200});
  Send(canvas, QEvent::TabletRelease, {200, 200}, 0.0);
  QTest::mouseClick(&canvas, Qt::LeftButton, Qt::NoModifier, {400, 300});  // right after: an echo
  EXPECT_EQ(window_->TheDocument().Current().marks.figures.at(0).points.size(), 1u);
  QTest::qWait(120);
  QTest::mouseClick(&canvas, Qt::LeftButton, Qt::NoModifier, {400, 300});  // a person's
  EXPECT_EQ(window_->TheDocument().Current().marks.figures.at(0).points.size(), 2u);
}

TEST_F(PenTest, TwoFingersZoomAboutTheirMiddle) {
  Canvas& canvas = window_->TheCanvas();
  static QPointingDevice* screen = QTest::createTouchDevice();
  const double before = canvas.Zoom();
  const QPointF fixed = canvas.PictureFromWidget({400, 300});
  QTest::touchEvent(&canvas, screen).press(1, QPoint(350, 300), &canvas).press(2, QPoint(450, 300), &canvas);
  QTest::touchEvent(&canvas, screen).move(1, QPoint(300, 300), &canvas).move(2, QPoint(500, 300), &canvas);
  QTest::touchEvent(&canvas, screen).release(1, QPoint(300, 300), &canvas).release(2, QPoint(500, 300), &canvas);
  EXPECT_NEAR(canvas.Zoom() / before, 2.0, 0.02);
  const QPointF now = canvas.PictureFromWidget({400, 300});
  EXPECT_NEAR(now.x(), fixed.x(), 2.0);
  EXPECT_NEAR(now.y(), fixed.y(), 2.0);
  EXPECT_TRUE(window_->TheDocument().Current().marks.figures.empty());
}

TEST_F(PenTest, MarksStandStillUnderEveryView) {
  Canvas& canvas = window_->TheCanvas();
  const QPointF mark(812.3, 1105.7);
  canvas.SetMirrored(true);
  canvas.TurnBy(33.0);
  canvas.ZoomBy(3.7, {120, 90});
  const QPointF back = canvas.PictureFromWidget(canvas.WidgetFromPicture().map(mark));
  EXPECT_NEAR(back.x(), mark.x(), 1e-6);
  EXPECT_NEAR(back.y(), mark.y(), 1e-6);
}

}  // namespace
}  // namespace armslength::app
