/** The charts page, loaded when somebody opens it. */
import './loft-charts.js'
