#!/bin/bash
# throwaway: build and run given classes of App.Tests
cd /work/wt-bench && nice dotnet build tests/Spoolwright.App.Tests -c Release -v q -nologo -nodeReuse:false 2>&1 | grep -E "error|rror\(s\)" | sort -u | head -20
nice dotnet tests/Spoolwright.App.Tests/bin/Release/net10.0/Spoolwright.App.Tests.dll -noLogo -noColor -trait- Category=Long "$@" 2>&1 | tail -60
