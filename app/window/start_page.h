#pragma once
#include <memory>
#include <vector>

#include <QWidget>

#include "journal/records.h"

class QGridLayout;
class QLabel;

namespace armslength::app {

class Commands;

// What the picture's place shows while nothing is open: where to begin, the demo, recent pieces.
class StartPage : public QWidget {
  Q_OBJECT
 public:
  StartPage(Commands& commands, QWidget* parent = nullptr);
  void SetRecent(const std::vector<PieceInfo>& pieces);
  void SetBusy(const QString& what);     // empty: not busy
  void SetTrouble(const QString& what);  // what kept a picture from opening; gone with the next one
  void SetPictureOpen(bool open);        // there is one to go back to
  void SetJournalPath(const QString& path);

 signals:
  void Chosen(const QString& picture_path);
  void PictureDropped(const QString& picture_path);

 protected:
  void dragEnterEvent(QDragEnterEvent* event) override;
  void dropEvent(QDropEvent* event) override;

 private:
  QLabel *heading_, *trouble_, *recent_heading_, *journal_;
  QWidget* back_;
  QGridLayout* recent_;
};

}  // namespace armslength::app
