#pragma once
#include <QElapsedTimer>
#include <QObject>
#include <QTimer>

namespace armslength::app {

// Counts time at work and asks for a short break each hour. Five minutes without a key or a pen
// count as a break. Common advice for long work at a screen; the interval is the artist's.
class BreakReminder : public QObject {
  Q_OBJECT
 public:
  explicit BreakReminder(QObject* parent = nullptr);
  void SetMinutes(int minutes);  // 0: never
  [[nodiscard]] double WorkedMinutes() const { return worked_s_ / 60.0; }
  // One step of the count, `seconds` long; the clock calls it, and tests.
  void Count(double seconds, bool active);
  void Restart() { worked_s_ = idle_s_ = 0.0; }

 signals:
  void Due(const QString& words);

 protected:
  bool eventFilter(QObject* watched, QEvent* event) override;

 private:
  QTimer timer_;
  double worked_s_ = 0.0, idle_s_ = 0.0, limit_s_ = 3600.0;
  bool touched_ = false;
};

}  // namespace armslength::app
