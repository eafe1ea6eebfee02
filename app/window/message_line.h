#pragma once
#include <QWidget>

class QLabel;

namespace armslength::app {

// The window's last message in one line. One that is too long for it also lies whole over the foot of
// `over`, until it is pressed, put away, or another message comes: the picture never moves for it.
class MessageLine : public QWidget {
  Q_OBJECT
 public:
  MessageLine(QWidget* over, QWidget* parent);
  void Say(const QString& text);
  [[nodiscard]] const QString& Text() const { return text_; }
  [[nodiscard]] const QLabel& Whole() const { return *whole_; }
  void PutAway();
  [[nodiscard]] QSize sizeHint() const override;

 protected:
  void paintEvent(QPaintEvent* event) override;
  void resizeEvent(QResizeEvent* event) override;
  bool eventFilter(QObject* watched, QEvent* event) override;

 private:
  void Place();

  QWidget* over_;
  QLabel* whole_;
  QString text_;
  bool unread_ = false;
};

}  // namespace armslength::app
