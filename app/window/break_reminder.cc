#include "app/window/break_reminder.h"

#include <utility>

#include <QCoreApplication>
#include <QEvent>


namespace armslength::app {
namespace {

constexpr double kStep = 15.0, kBreak = 300.0;  // s

}  // namespace

BreakReminder::BreakReminder(QObject* parent) : QObject(parent) {
  qApp->installEventFilter(this);
  timer_.setInterval(static_cast<int>(kStep * 1000));
  connect(&timer_, &QTimer::timeout, this, [this] { Count(kStep, std::exchange(touched_, false)); });
  timer_.start();
}

void BreakReminder::SetMinutes(int minutes) { limit_s_ = minutes * 60.0; }

void BreakReminder::Count(double seconds, bool active) {
  idle_s_ = active ? 0.0 : idle_s_ + seconds;
  if (idle_s_ >= kBreak) {
    worked_s_ = 0.0;
    return;
  }
  const double before = worked_s_;
  worked_s_ += seconds;
  if (limit_s_ > 0.0 && before < limit_s_ && worked_s_ >= limit_s_) {
    emit Due(tr("You have been at it for %n minute(s). Look into the distance, stretch your hands, stand up for a moment. "
                "Stop when something hurts.",
                nullptr, static_cast<int>(worked_s_ / 60.0)));
    worked_s_ = 0.0;
  }
}

bool BreakReminder::eventFilter(QObject*, QEvent* event) {
  switch (event->type()) {
    case QEvent::KeyPress:
    case QEvent::MouseMove:
    case QEvent::MouseButtonPress:
    case QEvent::TabletMove:
    case QEvent::TabletPress:
    case QEvent::Wheel:
      touched_ = true;
      break;
    default:
      break;
  }
  return false;
}

}  // namespace armslength::app
