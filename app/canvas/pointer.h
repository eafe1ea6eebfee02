#pragma once
#include <cstdint>
#include <optional>

#include <QPointF>
#include <Qt>

class QEvent;

namespace armslength::app {

// Mouse, pen and touch say the same three things.
struct Pointer {
  enum class Kind : std::uint8_t { kPress, kMove, kRelease, kHover };
  enum class Tool : std::uint8_t { kMouse, kPen, kEraser };
  Kind kind = Kind::kHover;
  Tool tool = Tool::kMouse;
  QPointF at;             // widget coordinates, sub-pixel where the device has it
  double pressure = 1.0;  // 1 for a mouse and for pens that know no pressure
  Qt::MouseButton button = Qt::NoButton;
  Qt::KeyboardModifiers modifiers;
};

// Turns events of a widget into pointers. A pen's mouse double is dropped: while a pen is
// down, and shortly after, mouse events are taken for echoes of it.
class PointerDecoder {
 public:
  // Nothing for events that are no pointers, or echoes.
  [[nodiscard]] std::optional<Pointer> Decode(const QEvent& event);

 private:
  bool pen_down_ = false;
  qint64 pen_last_ms_ = -1000;
};

}  // namespace armslength::app
