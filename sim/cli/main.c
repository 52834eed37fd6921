#include "cli/cli.h"

int main(int argc, char **argv)
{
    return rn_cli(argc, argv, stdout, stderr);
}
