#pragma once

// The program as a child of its own tests: `--child JOURNAL PICTURE` opens the picture, sets marks one
// after the other and a note, prints "N" after each one and goes on until it is killed.
int RunChild(int argc, char** argv);
