import './look/tokens.css';
import './look/base.css';

import { mount } from 'svelte';

import App from './App.svelte';
import { followLook } from './state/device.svelte';

followLook();
const target = document.getElementById('app');
if (target) mount(App, { target });
