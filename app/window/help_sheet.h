#pragma once
#include <QFrame>

class QLabel;
class QGridLayout;
class QScrollArea;

namespace armslength::app {

class Commands;

// Help in place: a sheet over the picture with the keys of this place, gone with the same key. It scrolls
// where the window is too low for it.
class HelpSheet : public QFrame {
  Q_OBJECT
 public:
  HelpSheet(const Commands& commands, QWidget* over);
  void ShowFor(const QString& group, const QString& title, const QString& words);

 protected:
  bool eventFilter(QObject* watched, QEvent* event) override;
  void mousePressEvent(QMouseEvent* event) override;

 private:
  void Place();
  const Commands& commands_;
  QScrollArea* scroll_;
  QWidget* page_;
  QLabel *title_, *words_;
  QGridLayout* keys_;
};

}  // namespace armslength::app
