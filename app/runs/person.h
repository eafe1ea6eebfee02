#pragma once
#include <functional>
#include <random>

#include <QPointF>
#include <Qt>

#include "marks/figure.h"

namespace armslength::app {

class MainWindow;

// How long a person takes, in seconds. Values from memory of the publications named.
struct PauseModel {
  // Mental preparation before a decision, and one key. Card, Moran & Newell 1980, The keystroke-level
  // model for user performance time with interactive systems (M, and K of a non-secretary typist).
  double decide_s = 1.35, key_s = 0.28;
  // Pointing: log2(distance / width + 1) bits at this rate. MacKenzie, Sellen & Buxton 1991, A comparison
  // of input devices in elemental pointing and dragging tasks.
  double mouse_bits_per_s = 4.5, pen_bits_per_s = 4.9;
  double drag_bits_per_s = 4.1;
  // What a person aims at: a joint's place is a patch of this width on the screen, not a pixel (common
  // practice, no source).
  double target_px = 12.0;
};

// A scripted person at a window: real mouse, pen and key events; the time such a person would need is
// counted, not slept. What the program makes them wait beyond their own pauses is counted too.
class Person {
 public:
  enum class Hand : std::uint8_t { kMouse, kPen };
  Person(MainWindow& window, Hand hand, unsigned seed) : window_(window), hand_(hand), random_(seed) {}

  // One sd per axis, picture px, by which every press misses.
  void SetTremor(double sd_px) { tremor_px_ = sd_px; }
  void Pause(double seconds) { seconds_ += seconds; }
  void Decide() { seconds_ += model_.decide_s; }
  void Key(Qt::Key key, Qt::KeyboardModifiers modifiers = Qt::NoModifier);
  void Click(const Vec2& at_px);
  void Drag(const Vec2& from_px, const Vec2& to_px);
  // False when `done` did not come in a minute.
  bool WaitFor(const std::function<bool()>& done);
  // Lets the program catch up for as long as the person was busy anyway: waits, and counts only what
  // goes beyond `pause_s`.
  bool KeepUp(const std::function<bool()>& done, double pause_s);

  [[nodiscard]] double Seconds() const { return seconds_ + waited_s_; }
  [[nodiscard]] double WaitedSeconds() const { return waited_s_; }
  [[nodiscard]] const PauseModel& Model() const { return model_; }

 private:
  [[nodiscard]] QPointF Missed(const Vec2& at_px);
  void Reach(const QPointF& widget, double bits_per_s);
  void Send(int kind, const QPointF& widget);

  MainWindow& window_;
  Hand hand_;
  PauseModel model_;
  std::mt19937 random_;
  double tremor_px_ = 0.0, seconds_ = 0.0, waited_s_ = 0.0;
  QPointF hand_at_{400, 300};  // widget px
};

}  // namespace armslength::app
