#!/usr/bin/env node
'use strict';

// CommonJS (see package.json beside this file), since the loader of ES modules costs 5 ms of every start.
require('./load.js')
  .load()
  .run(process.argv.slice(2))
  .then((code) => {
    process.exitCode = code;
  });
