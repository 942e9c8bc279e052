// The empty program, by which the start of any program is measured.
int main() {}
