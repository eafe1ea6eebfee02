#include "app/runs/person.h"

#include <algorithm>
#include <cmath>

#include <QElapsedTimer>
#include <QPointingDevice>
#include <QTabletEvent>
#include <QTest>

#include "app/window/main_window.h"

namespace armslength::app {
namespace {

enum { kDown, kMoved, kUp };

const QPointingDevice& Pen() {
  static const auto* pen = new QPointingDevice(QStringLiteral("pen"), 1, QInputDevice::DeviceType::Stylus,
                                               QPointingDevice::PointerType::Pen,
                                               QInputDevice::Capability::Position | QInputDevice::Capability::Pressure, 1, 3);
  return *pen;  // a device must not go before the application does
}

}  // namespace

void Person::Key(Qt::Key key, Qt::KeyboardModifiers modifiers) {
  seconds_ += model_.key_s;
  QTest::keyClick(&window_, key, modifiers);
  QCoreApplication::processEvents();
}

QPointF Person::Missed(const Vec2& at) {
  // A person aiming at a patch of width W lands with sd W / 4.133 (effective width, ISO 9241-411).
  const double zoom = std::max(1e-6, window_.TheCanvas().Zoom());
  const double aim_px = model_.target_px / 4.133 / zoom;
  std::normal_distribution<double> miss(0.0, std::hypot(aim_px, tremor_px_));
  const double dx = miss(random_), dy = miss(random_);
  return window_.TheCanvas().WidgetFromPicture().map(QPointF(at.x() + dx, at.y() + dy));
}

void Person::Reach(const QPointF& widget, double bits_per_s) {
  const double distance = std::hypot(widget.x() - hand_at_.x(), widget.y() - hand_at_.y());
  seconds_ += std::log2(distance / model_.target_px + 1.0) / bits_per_s;
  hand_at_ = widget;
}

void Person::Send(int kind, const QPointF& at) {
  Canvas& canvas = window_.TheCanvas();
  if (hand_ == Hand::kPen) {
    const QEvent::Type type = kind == kDown ? QEvent::TabletPress : kind == kUp ? QEvent::TabletRelease : QEvent::TabletMove;
    QTabletEvent event(type, &Pen(), at, canvas.mapToGlobal(at), kind == kUp ? 0.0 : 0.5, 0, 0, 0, 0, 0, Qt::NoModifier,
                       kind == kMoved ? Qt::NoButton : Qt::LeftButton, kind == kUp ? Qt::NoButton : Qt::LeftButton);
    QCoreApplication::sendEvent(&canvas, &event);
  } else {
    const QEvent::Type type = kind == kDown ? QEvent::MouseButtonPress : kind == kUp ? QEvent::MouseButtonRelease : QEvent::MouseMove;
    QMouseEvent event(type, at, canvas.mapToGlobal(at), kind == kMoved ? Qt::NoButton : Qt::LeftButton,
                      kind == kUp ? Qt::NoButton : Qt::LeftButton, Qt::NoModifier);
    QCoreApplication::sendEvent(&canvas, &event);
  }
  QCoreApplication::processEvents();
}

void Person::Click(const Vec2& at_px) {
  const QPointF at = Missed(at_px);
  Reach(at, hand_ == Hand::kPen ? model_.pen_bits_per_s : model_.mouse_bits_per_s);
  seconds_ += model_.key_s;  // down and up
  Send(kDown, at);
  Send(kUp, at);
}

void Person::Drag(const Vec2& from_px, const Vec2& to_px) {
  // Onto the mark itself: it is drawn, so that a person hits it.
  const QPointF from = window_.TheCanvas().WidgetFromPicture().map(QPointF(from_px.x(), from_px.y()));
  const QPointF to = Missed(to_px);
  Reach(from, hand_ == Hand::kPen ? model_.pen_bits_per_s : model_.mouse_bits_per_s);
  seconds_ += model_.key_s;
  Send(kDown, from);
  Reach(to, model_.drag_bits_per_s);
  for (int i = 1; i <= 8; ++i) Send(kMoved, from + (to - from) * (i / 8.0));
  Send(kUp, to);
}

bool Person::KeepUp(const std::function<bool()>& done, double pause_s) {
  QElapsedTimer clock;
  clock.start();
  while (!done() && clock.elapsed() < 60000) QCoreApplication::processEvents(QEventLoop::AllEvents, 10);
  waited_s_ += std::max(0.0, static_cast<double>(clock.elapsed()) / 1000.0 - pause_s);
  return done();
}

bool Person::WaitFor(const std::function<bool()>& done) { return KeepUp(done, 0.0); }

}  // namespace armslength::app
