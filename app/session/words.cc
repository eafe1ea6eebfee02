#include "app/session/words.h"

#include <QCoreApplication>

namespace armslength::app {
namespace {

// For the translators' tool; the names themselves live in marks/names.cc (a test compares them).
[[maybe_unused]] const char* const kNames[] = {
    QT_TRANSLATE_NOOP("names", "crown"),
    QT_TRANSLATE_NOOP("names", "chin"),
    QT_TRANSLATE_NOOP("names", "pit of the neck"),
    QT_TRANSLATE_NOOP("names", "left shoulder"),
    QT_TRANSLATE_NOOP("names", "right shoulder"),
    QT_TRANSLATE_NOOP("names", "left elbow"),
    QT_TRANSLATE_NOOP("names", "right elbow"),
    QT_TRANSLATE_NOOP("names", "left wrist"),
    QT_TRANSLATE_NOOP("names", "right wrist"),
    QT_TRANSLATE_NOOP("names", "left fingertips"),
    QT_TRANSLATE_NOOP("names", "right fingertips"),
    QT_TRANSLATE_NOOP("names", "left hip"),
    QT_TRANSLATE_NOOP("names", "right hip"),
    QT_TRANSLATE_NOOP("names", "left knee"),
    QT_TRANSLATE_NOOP("names", "right knee"),
    QT_TRANSLATE_NOOP("names", "left ankle"),
    QT_TRANSLATE_NOOP("names", "right ankle"),
    QT_TRANSLATE_NOOP("names", "left toe"),
    QT_TRANSLATE_NOOP("names", "right toe"),
    QT_TRANSLATE_NOOP("names", "left jaw corner"),
    QT_TRANSLATE_NOOP("names", "right jaw corner"),
    QT_TRANSLATE_NOOP("names", "left face edge"),
    QT_TRANSLATE_NOOP("names", "right face edge"),
    QT_TRANSLATE_NOOP("names", "inner corner of the left eye"),
    QT_TRANSLATE_NOOP("names", "outer corner of the left eye"),
    QT_TRANSLATE_NOOP("names", "top of the left eye"),
    QT_TRANSLATE_NOOP("names", "bottom of the left eye"),
    QT_TRANSLATE_NOOP("names", "inner corner of the right eye"),
    QT_TRANSLATE_NOOP("names", "outer corner of the right eye"),
    QT_TRANSLATE_NOOP("names", "top of the right eye"),
    QT_TRANSLATE_NOOP("names", "bottom of the right eye"),
    QT_TRANSLATE_NOOP("names", "peak of the left brow"),
    QT_TRANSLATE_NOOP("names", "peak of the right brow"),
    QT_TRANSLATE_NOOP("names", "base of the nose"),
    QT_TRANSLATE_NOOP("names", "left mouth corner"),
    QT_TRANSLATE_NOOP("names", "right mouth corner"),
    QT_TRANSLATE_NOOP("names", "middle of the mouth"),
    QT_TRANSLATE_NOOP("names", "hairline"),
    QT_TRANSLATE_NOOP("names", "tip of the nose"),
    QT_TRANSLATE_NOOP("names", "top of the left ear"),
    QT_TRANSLATE_NOOP("names", "bottom of the left ear"),
    QT_TRANSLATE_NOOP("names", "top of the right ear"),
    QT_TRANSLATE_NOOP("names", "bottom of the right ear"),
    QT_TRANSLATE_NOOP("names", "top of the skull under the hair"),
    QT_TRANSLATE_NOOP("names", "left heel"),
    QT_TRANSLATE_NOOP("names", "right heel"),
    QT_TRANSLATE_NOOP("names", "navel"),
    QT_TRANSLATE_NOOP("names", "crotch"),
    QT_TRANSLATE_NOOP("names", "head"),
    QT_TRANSLATE_NOOP("names", "neck"),
    QT_TRANSLATE_NOOP("names", "trunk"),
    QT_TRANSLATE_NOOP("names", "shoulders"),
    QT_TRANSLATE_NOOP("names", "hips"),
    QT_TRANSLATE_NOOP("names", "left upper arm"),
    QT_TRANSLATE_NOOP("names", "right upper arm"),
    QT_TRANSLATE_NOOP("names", "left forearm"),
    QT_TRANSLATE_NOOP("names", "right forearm"),
    QT_TRANSLATE_NOOP("names", "left hand"),
    QT_TRANSLATE_NOOP("names", "right hand"),
    QT_TRANSLATE_NOOP("names", "left thigh"),
    QT_TRANSLATE_NOOP("names", "right thigh"),
    QT_TRANSLATE_NOOP("names", "left shin"),
    QT_TRANSLATE_NOOP("names", "right shin"),
    QT_TRANSLATE_NOOP("names", "left foot"),
    QT_TRANSLATE_NOOP("names", "right foot"),
};

QString Translated(std::string_view english) {
  return QCoreApplication::translate("names", std::string(english).c_str());
}

}  // namespace

QString Spoken(PointId id) { return Translated(SpokenName(id)); }
QString Spoken(BoneId id) { return Translated(SpokenName(id)); }

}  // namespace armslength::app
