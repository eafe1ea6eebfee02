#include "app/canvas/pointer.h"

#include <QElapsedTimer>
#include <QMouseEvent>
#include <QTabletEvent>

namespace armslength::app {
namespace {

constexpr qint64 kEchoMs = 80;

qint64 NowMs() {
  static QElapsedTimer timer = [] {
    QElapsedTimer t;
    t.start();
    return t;
  }();
  return timer.elapsed();
}

}  // namespace

std::optional<Pointer> PointerDecoder::Decode(const QEvent& event) {
  Pointer p;
  switch (event.type()) {
    case QEvent::TabletPress:
    case QEvent::TabletMove:
    case QEvent::TabletRelease: {
      const auto& tablet = static_cast<const QTabletEvent&>(event);
      p.at = tablet.position();
      p.tool = tablet.pointerType() == QPointingDevice::PointerType::Eraser ? Pointer::Tool::kEraser
                                                                            : Pointer::Tool::kPen;
      // A pen without pressure reports 0 even while it touches.
      p.pressure = tablet.pressure() > 0.0 ? tablet.pressure() : 1.0;
      p.button = tablet.button();
      p.modifiers = tablet.modifiers();
      if (event.type() == QEvent::TabletPress) {
        p.kind = Pointer::Kind::kPress;
        if (p.button == Qt::NoButton) p.button = Qt::LeftButton;
        pen_down_ = true;
      } else if (event.type() == QEvent::TabletRelease) {
        p.kind = Pointer::Kind::kRelease;
        pen_down_ = false;
      } else {
        p.kind = pen_down_ ? Pointer::Kind::kMove : Pointer::Kind::kHover;
      }
      pen_last_ms_ = NowMs();
      return p;
    }
    case QEvent::MouseButtonPress:
    case QEvent::MouseButtonDblClick:
    case QEvent::MouseMove:
    case QEvent::MouseButtonRelease: {
      if (pen_down_ || NowMs() - pen_last_ms_ < kEchoMs) return std::nullopt;
      const auto& mouse = static_cast<const QMouseEvent&>(event);
      p.at = mouse.position();
      p.button = mouse.button();
      p.modifiers = mouse.modifiers();
      if (event.type() == QEvent::MouseMove)
        p.kind = mouse.buttons() ? Pointer::Kind::kMove : Pointer::Kind::kHover;
      else
        p.kind = event.type() == QEvent::MouseButtonRelease ? Pointer::Kind::kRelease : Pointer::Kind::kPress;
      return p;
    }
    default:
      return std::nullopt;
  }
}

}  // namespace armslength::app
