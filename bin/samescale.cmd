@echo off
rem Brings what is missing on first use, chooses a Node 24, hands over to the command line.
setlocal
set "root=%~dp0.."
if not exist "%root%\node_modules\node\bin\node.exe" (
  echo samescale: first use, bringing the packages 1>&2
  pushd "%root%"
  call npm ci --omit=dev --no-audit --no-fund --loglevel=error 1>&2
  if errorlevel 1 (
    echo samescale: the packages could not be installed; see npm's message above 1>&2
    popd
    exit /b 1
  )
  popd
)
set "node=%root%\node_modules\node\bin\node.exe"
for /f "tokens=1 delims=.v" %%m in ('node -v 2^>nul') do if %%m GEQ 24 set "node=node"
"%node%" --disable-warning=ExperimentalWarning "%root%\apps\cli\src\main.ts" %*
exit /b %errorlevel%
